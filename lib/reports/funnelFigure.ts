import type { UnitKind } from '../contract/unitsQuestion';
import type { FunnelPosition } from '../screening/funnel/funnel';
import { funnelLimits } from '../screening/funnel/funnelLimits';
import type { UnitsAnalysis } from '../screening/units/unitsResult';
import { formatConfidence, formatCount, formatDecimal, formatRatio } from './format';
import { policyInForce } from '../disclosure/policy';
import { withheldOf } from './smallCounts';
import { ticksFromZero } from './ticks';

/** Which limits are drawn: for chance alone, widened by how much units differ anyhow, or both. */
export type FunnelLimitsShown = 'both' | 'chance' | 'widened';

/** One unit in the drawing. */
export interface FunnelMark {
  readonly label: string; // in running text
  readonly id: string | null; // may be opened; null: has no name here
  readonly own: boolean;
  readonly askedAbout: boolean;
  readonly expected: number;
  readonly ratio: number; // as drawn: at most the top of the axis
  readonly above: boolean; // lies above the top of the axis
  readonly text: string; // observed, expected and ratio
  readonly places: string; // where it lies among the limits
  readonly staysInside: boolean; // its place gives a small count of people away
}

export interface FunnelLine {
  readonly label: string;
  readonly level: number;
  readonly widened: boolean;
  readonly outer: boolean; // of the widest level
  readonly points: readonly { readonly expected: number; readonly lower: number; readonly upper: number }[];
}

/** Standardised ratios against expected revisions between their limits, worked out for a drawing. */
export interface FunnelFigure {
  readonly name: string;
  readonly title: string;
  readonly caption: string;
  readonly kind: UnitKind;
  readonly expectedLabel: string;
  readonly expectedTicks: readonly number[];
  readonly ratioTicks: readonly number[];
  readonly lines: readonly FunnelLine[];
  readonly marks: readonly FunnelMark[]; // by expected revisions
  readonly firstReading: number; // the own one, or the one of which most is expected
}

export interface FunnelNames {
  /** What a unit is called, and whether it is the one that is looked at; id null: it has no name here. */
  readonly of: (id: string) => { readonly label: string; readonly id: string | null; readonly own: boolean };
}

const gridPoints = 160;
const highestRatio = 4; // the axis reaches no further: where little is expected single revisions make ratios of any size
const readableFrom = 2; // expected revisions from which a ratio has a say in how far the axis reaches

/** Denser where little is expected and the limits are steep. */
const grid = (most: number): readonly number[] => Array.from({ length: gridPoints }, (_, i) => most * ((i + 1) / gridPoints) ** 2);

const place = ({ side, level }: FunnelPosition): string =>
  (level === null || side === 'within' ? 'within them' : `${side === 'higher' ? 'above' : 'below'} the ${formatConfidence(level)} limit`);
const placesWords = (plain: FunnelPosition, widened: FunnelPosition): string =>
  `Limits for chance alone: ${place(plain)}; widened: ${place(widened)}`;

export function funnelFigure({ units, funnel, question: { kind } }: UnitsAnalysis, names: FunnelNames, shown: FunnelLimitsShown): FunnelFigure {
  const counted = units.flatMap((line, i) => {
    const at = funnel.units[i], { standardised } = line;
    return at && standardised.status === 'ok' ? [{ line, at, standardised }] : [];
  }).sort((a, b) => a.standardised.expected - b.standardised.expected);
  const most = counted.at(-1)?.standardised.expected ?? 1;
  const expectedTicks = ticksFromZero(most, 8), end = expectedTicks.at(-1) ?? most;
  const readable = counted.filter(({ standardised }) => standardised.expected >= readableFrom).map(({ standardised }) => standardised.ratio);
  const ratioTicks = ticksFromZero(Math.min(highestRatio, Math.max(2, ...readable)), 5), top = ratioTicks.at(-1) ?? highestRatio;
  const spread = funnel.overdispersion.status === 'ok' ? funnel.overdispersion : null;
  const widenings = [...(shown === 'widened' ? [] : ['none' as const]), ...(shown === 'chance' || !spread?.present ? [] : [funnel.widening])];
  const withheld = withheldOf(counted.map(({ standardised: { observed } }) => observed));
  const marks = counted.map(({ line: { id, status }, at, standardised: { observed, expected, ratio } }, i): FunnelMark => ({
    ...names.of(id),
    askedAbout: status === 'flagged',
    expected, ratio: Math.min(ratio, top), above: ratio > top,
    text: `${formatCount(observed)} observed, ${formatDecimal(expected)} expected, ratio ${formatRatio(ratio)}`,
    places: placesWords(at.plain, at.widened),
    staysInside: withheld[i] === true || policyInForce().rounding > 1,
  }));
  return {
    name: `funnel-${kind}s`,
    title: `Observed to expected revisions of ${kind}s`,
    caption: 'Each mark is one unit: its ratio of observed to expected revisions against how many were expected. '
      + (spread?.present === false ? 'Units differ no more than by chance, so the limits are not widened. ' : '')
      + 'Both readings of the limits belong together: widened ones allow for how units usually differ, and can hide what all of them have in common. Units with few revisions, and those that they could be computed from, are left out of print and files, and all where counts are rounded.',
    kind, expectedLabel: 'Expected revisions', expectedTicks, ratioTicks, marks,
    lines: (widenings.length === 0 ? ['none' as const] : widenings).flatMap((widening) => funnel.levels.map((level, l): FunnelLine => ({
      label: `${formatConfidence(level)} ${widening === 'none' ? 'for chance alone' : 'widened'}`,
      level, widened: widening !== 'none', outer: l === funnel.levels.length - 1,
      points: grid(end).map((expected) => ({ expected, ...funnelLimits(expected, level, widening, spread) })),
    }))),
    firstReading: Math.max(0, marks.some(({ own }) => own) ? marks.findIndex(({ own }) => own) : marks.length - 1),
  };
}
