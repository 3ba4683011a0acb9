'use client';
import { CartesianGrid, ComposedChart, Line, ReferenceLine, usePlotArea, useXAxisScale, useYAxisScale, XAxis, YAxis } from 'recharts';
import { ownLabels } from '../../lib/reports/units/unitsQuestionWords';
import type { FunnelFigure, FunnelLine, FunnelMark } from '../../lib/reports/funnelFigure';

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

const height = 400;
const tick = { fill: 'var(--ink)', fontSize: 12 };

/** Chance alone is drawn through, widened limits are dashed; the outer level of each is thicker. */
export const limitStroke = ({ widened, outer }: Pick<FunnelLine, 'widened' | 'outer'>) => ({
  stroke: widened ? 'var(--series-2)' : 'var(--ink-soft)', strokeDasharray: widened ? '7 4' : '', strokeWidth: outer ? 1.8 : 1,
});

/** Ratios of observed to expected revisions between their limits, against how many were expected. */
export function FunnelChart({ figure, marks, width, few = false, ...reading }: Props) {
  const { expectedTicks, ratioTicks, lines, expectedLabel } = figure;
  const shown = few ? expectedTicks.filter((_, i) => i % 2 === 0) : expectedTicks;
  return (
    <ComposedChart
      {...(width === undefined ? { responsive: true, style: { width: '100%', height } } : { width, height })}
      margin={{ top: 12, right: 18, bottom: 0, left: 0 }} accessibilityLayer={false}
    >
      <CartesianGrid vertical={false} stroke="var(--rule)" />
      <XAxis
        type="number" dataKey="expected" domain={[0, expectedTicks.at(-1) ?? 1]} allowDataOverflow ticks={[...shown]} interval={0} height={44} stroke="var(--ink)" tick={tick}
        label={{ value: expectedLabel, position: 'insideBottom', offset: 2, fill: 'var(--ink-soft)', fontSize: 12 }}
      />
      <YAxis width={46} domain={[0, ratioTicks.at(-1) ?? 2]} allowDataOverflow ticks={[...ratioTicks]} interval={0} stroke="var(--ink)" tick={tick} />
      <ReferenceLine y={1} stroke="var(--ink)" strokeWidth={1} />
      {lines.flatMap((line) => (['lower', 'upper'] as const).map((side) => (
        <Line
          key={`${line.label} ${side}`} data={line.points} dataKey={side} {...limitStroke(line)} type="linear" dot={false} activeDot={false} isAnimationActive={false}
        />
      )))}
      <Marks marks={marks} ownLabel={ownLabels[figure.kind]} {...reading} />
    </ComposedChart>
  );
}

function Marks({ marks, ownLabel, reading, onRead, onOpen }: Pick<Props, 'marks' | 'reading' | 'onRead' | 'onOpen'> & { readonly ownLabel: string }) {
  const plot = usePlotArea(), x = useXAxisScale(), y = useYAxisScale();
  if (plot === undefined || x === undefined || y === undefined) return null;
  const ordered = [...marks].sort((a, b) => rank(a) - rank(b));
  return (
    <g className="funnel-marks">
      {ordered.map((mark, i) => {
        const [cx, cy] = [x(mark.expected) ?? 0, y(mark.ratio) ?? 0];
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
