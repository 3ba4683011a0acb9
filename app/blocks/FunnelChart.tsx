'use client';
import { ownLabels } from '../../lib/reports/units/unitsQuestionWords';
import type { FunnelFigure, FunnelLine, FunnelMark } from '../../lib/reports/funnelFigure';
import { linePath } from './plane/paths';
import { Plane, ticksAt, type Places } from './plane/Plane';

interface Props {
  readonly figure: FunnelFigure;
  readonly marks: readonly FunnelMark[];
  /** Fixed size in CSS pixels; without it the drawing fills its box. */
  readonly width?: number;
  readonly few?: boolean; // fewer ticks, for a narrow drawing
  readonly reading?: FunnelMark | undefined;
  readonly onRead?: (mark: FunnelMark) => void;
  readonly onOpen?: (mark: FunnelMark) => void;
}

/** Chance alone is drawn through, widened limits are dashed; the outer level of each is thicker. */
export const limitStroke = ({ widened, outer }: Pick<FunnelLine, 'widened' | 'outer'>) => ({
  stroke: widened ? 'var(--series-2)' : 'var(--ink-soft)', strokeDasharray: widened ? '7 4' : '', strokeWidth: outer ? 1.8 : 1,
});

/** Ratios of observed to expected revisions between their limits, against how many were expected. */
export function FunnelChart({ figure, marks, width, few = false, ...reading }: Props) {
  const { expectedTicks, ratioTicks, lines, expectedLabel } = figure, shown = few ? expectedTicks.filter((_, i) => i % 2 === 0) : expectedTicks;
  return (
    <Plane
      width={width} height={400} margin={{ top: 12, right: 18, bottom: 0 }}
      across={{ from: 0, to: expectedTicks.at(-1) ?? 1, ticks: ticksAt(shown), space: 44, title: expectedLabel }}
      up={{ from: 0, to: ratioTicks.at(-1) ?? 2, ticks: ticksAt(ratioTicks), space: 46, title: 'Observed / expected' }}
    >
      {(places) => (
        <>
          <Limits lines={lines} {...places} />
          <Marks marks={marks} ownLabel={ownLabels[figure.kind]} {...reading} {...places} />
        </>
      )}
    </Plane>
  );
}

function Limits({ lines, x, y, plot, clip }: Places & Pick<FunnelFigure, 'lines'>) {
  return (
    <>
      <line x1={plot.x} x2={plot.x + plot.width} y1={y(1)} y2={y(1)} stroke="var(--ink)" />
      {lines.flatMap((line) => (['lower', 'upper'] as const).map((side) => (
        <path key={`${line.label} ${side}`} clipPath={clip} fill="none" {...limitStroke(line)} d={linePath(line.points.map((point) => [x(point.expected), y(point[side])]), false)} />
      )))}
    </>
  );
}

interface MarksProps extends Places, Pick<Props, 'marks' | 'reading' | 'onRead' | 'onOpen'> { readonly ownLabel: string }

function Marks({ marks, ownLabel, reading, onRead, onOpen, x, y }: MarksProps) {
  const ordered = [...marks].sort((a, b) => rank(a) - rank(b));
  return (
    <g className="funnel-marks">
      {ordered.map((mark, i) => {
        const cx = x(mark.expected), cy = y(mark.ratio);
        return (
          <g
            key={i} data-mark={mark.own ? 'own' : mark.askedAbout ? 'asked-about' : 'peer'} className={mark.id !== null && !mark.own && onOpen !== undefined ? 'opens' : undefined}
            {...(onRead !== undefined && { onPointerEnter: () => { onRead(mark); }, onPointerDown: () => { onRead(mark); } })}
            {...(onOpen !== undefined && mark.id !== null && !mark.own && { onClick: () => { onOpen(mark); } })}
          >
            {onRead !== undefined && <circle cx={cx} cy={cy} r={9} fill="transparent" />}
            {mark === reading && <circle cx={cx} cy={cy} r={10} fill="none" stroke="var(--accent)" strokeWidth={2} />}
            <Shape mark={mark} cx={cx} cy={cy} />
            {mark.own && <text x={cx} y={cy - 13} textAnchor="middle" fontSize={12} fontWeight={600} fill="var(--ink)">{ownLabel}</text>}
          </g>
        );
      })}
    </g>
  );
}

/** What is drawn over what. */
const rank = ({ own, askedAbout }: FunnelMark): number => (own ? 2 : askedAbout ? 1 : 0);

/** A full circle is our own, a full diamond one that is asked about, a hollow circle any other; a triangle lies above the drawing. */
export function Shape({ mark, cx, cy }: { readonly mark: Pick<FunnelMark, 'own' | 'askedAbout' | 'above'>; readonly cx: number; readonly cy: number }) {
  const fill = mark.own ? 'var(--accent)' : mark.askedAbout ? 'var(--ink)' : 'var(--paper)', stroke = mark.own ? 'var(--accent)' : mark.askedAbout ? 'var(--ink)' : 'var(--ink-soft)';
  if (mark.above) return <path d={`M${cx} ${cy - 5} L${cx + 5} ${cy + 4} L${cx - 5} ${cy + 4} Z`} fill={fill} stroke={stroke} />;
  if (mark.own) return <circle cx={cx} cy={cy} r={6.5} fill={fill} stroke="var(--paper)" strokeWidth={1.5} />;
  if (mark.askedAbout) return <path d={`M${cx} ${cy - 6} L${cx + 6} ${cy} L${cx} ${cy + 6} L${cx - 6} ${cy} Z`} fill={fill} stroke="var(--paper)" strokeWidth={1} />;
  return <circle cx={cx} cy={cy} r={4} fill={fill} stroke={stroke} strokeWidth={1.3} />;
}
