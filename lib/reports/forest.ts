import type { HazardRatio } from '../analysis/result';
import { isEstimate } from './estimate';
import { formatCount, formatP, formatRatioEstimate } from './format';
import { policyInForce } from '../disclosure/policy';
import { ownLimitsWords } from './ownLimits';
import { isSmall } from './smallCounts';
import { ratioTicks } from './ticks';

/** Places on the axis are 0–100 from left to right. */
export interface ForestRow {
  readonly key: string;
  readonly label: string;
  readonly detail: string | null; // what a reader must know of this row
  readonly group: number | null;
  readonly counts: string; // revised of procedures
  readonly text: string; // the ratio with its limits, or why there is none
  readonly p: string;
  readonly mark: { readonly at: number; readonly from: number; readonly to: number; readonly runsOffLeft: boolean; readonly runsOffRight: boolean } | null;
  readonly numbers: { readonly value: number; readonly lower: number; readonly upper: number; readonly p: number } | null;
  readonly staysInside: boolean; // holds or reveals a small count of people
}
export interface ForestPart {
  readonly key: string;
  readonly heading: string;
  readonly note: string | null;
  readonly demoted: boolean; // shown, but not to be read first
  readonly rows: readonly ForestRow[];
}
export interface ForestFigure {
  readonly columns: { readonly row: string; readonly counts: string; readonly ratio: string; readonly events: string }; // events: what there is less or more of
  readonly ticks: readonly { readonly at: number; readonly label: string; readonly minor: boolean }[]; // minor: not named in a narrow drawing
  readonly unity: number; // place of ratio 1
  readonly parts: readonly ForestPart[];
}

/** Maps a ratio to its place on the axis. */
export type Place = (ratio: number) => number;

interface RowWords {
  readonly key?: string;
  readonly label?: string; // instead of that of the ratio
  readonly detail?: string | null;
  readonly basis?: readonly number[]; // counts of people besides those of the ratio
  readonly withheld?: boolean; // another row could be computed from it and a total
}

const clamp = (place: number) => Math.min(100, Math.max(0, place));

/** `groups`: the compared groups in their order. */
export function forestRow(groups: readonly { readonly key: string }[], ratio: HazardRatio, place: Place, words: RowWords = {}): ForestRow {
  const { term, level, procedures, events, estimate, p } = ratio, detail = [words.detail ?? null, ownLimitsWords(ratio)].filter((part) => part !== null);
  const group = term === 'group' ? groups.findIndex((g) => g.key === level) : -1;
  const common = {
    key: words.key ?? `${term}:${level}`, label: words.label ?? ratio.label, detail: detail.length === 0 ? null : detail.join('; '), group: group < 0 ? null : group,
    counts: `${formatCount(events)} of ${formatCount(procedures)}`, staysInside: words.withheld === true || policyInForce().rounding > 1 || [events, procedures, ...(words.basis ?? [])].some(isSmall),
  };
  if (!isEstimate(estimate)) return { ...common, text: estimate.reason, p: '', mark: null, numbers: null };
  const { value, lower, upper } = estimate;
  const [from, to] = [place(lower), place(upper)];
  return {
    ...common,
    text: formatRatioEstimate(estimate),
    p: formatP(p),
    mark: Number.isFinite(from) && Number.isFinite(to)
      ? { at: clamp(place(value)), from: clamp(from), to: clamp(to), runsOffLeft: from < -1e-9, runsOffRight: to > 100 + 1e-9 } : null,
    numbers: { value, lower, upper, p },
  };
}

/** A row that has words in the place of a ratio. */
export const wordsRow = (key: string, label: string, detail: string | null, text: string): ForestRow =>
  ({ key, label, detail, group: null, counts: '', text, p: '', mark: null, numbers: null, staysInside: false });

/** Ratios on one logarithmic axis, 1 in it, that reaches as far as the limits but no further than a twentieth and twenty. */
export function forest(parts: (place: Place) => readonly ForestPart[], columns: Partial<ForestFigure['columns']> = {}): ForestFigure {
  const limits = parts(() => 0).flatMap((part) => part.rows.flatMap(({ numbers }) => (numbers ? [numbers.lower, numbers.upper, numbers.value] : [])))
    .filter((ratio) => Number.isFinite(ratio) && ratio > 0);
  const ticks = ratioTicks(Math.max(0.05, Math.min(...limits, 1)), Math.min(20, Math.max(...limits, 1)));
  const [from, to] = [Math.log(ticks[0] ?? 0.5), Math.log(ticks.at(-1) ?? 2)];
  const place: Place = (ratio) => (100 * (Math.log(ratio) - from)) / (to - from);
  return {
    columns: { row: 'Group', counts: 'Revised', ratio: 'Hazard ratio', events: 'revisions', ...columns },
    ticks: ticks.map((tick, i) => ({ at: place(tick), label: String(tick), minor: ticks.length > 4 && (i - ticks.indexOf(1)) % 3 !== 0 })), unity: place(1), parts: parts(place),
  };
}
