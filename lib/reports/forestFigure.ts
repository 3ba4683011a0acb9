import type { Analysis, CoxResult, Estimate, HazardRatio } from '../analysis/result';
import { formatCount, formatLimits, formatList, formatP, formatPEquation, formatRatio } from './format';
import { periodName } from './plainWords';
import { inSentence } from './questionWords';
import { isSmall } from './smallCounts';
import { ratioTicks } from './ticks';

/** Places on the axis are 0–100 from left to right. */
export interface ForestRow {
  readonly label: string;
  readonly group: number | null;
  readonly counts: string; // revised of procedures
  readonly text: string; // the ratio with its limits, or why there is none
  readonly p: string;
  readonly mark: { readonly at: number; readonly from: number; readonly to: number; readonly runsOffLeft: boolean; readonly runsOffRight: boolean } | null;
  readonly numbers: { readonly value: number; readonly lower: number; readonly upper: number; readonly p: number } | null;
  readonly staysInside: boolean; // holds or reveals a small count of people
}
export interface ForestPart {
  readonly heading: string;
  readonly note: string | null;
  readonly demoted: boolean; // shown, but not to be read first
  readonly rows: readonly ForestRow[];
}
export interface ForestFigure {
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
  readonly unity: number; // place of ratio 1
  readonly parts: readonly ForestPart[];
}

const isEstimate = (estimate: object): estimate is Estimate => 'value' in estimate;
const clamp = (place: number) => Math.min(100, Math.max(0, place));

/** Maps a ratio to its place on a logarithmic axis. */
const axis = (ticks: readonly number[]) => {
  const [from, to] = [Math.log(ticks[0] ?? 0.5), Math.log(ticks.at(-1) ?? 2)];
  return (ratio: number) => (100 * (Math.log(ratio) - from)) / (to - from);
};

function row(analysis: Analysis, { term, level, label, procedures, events, estimate, p }: HazardRatio, place: (ratio: number) => number): ForestRow {
  const group = term === 'group' ? analysis.groups.findIndex((g) => g.key === level) : -1;
  const common = { label, group: group < 0 ? null : group, counts: `${formatCount(events)} of ${formatCount(procedures)}`, staysInside: [events, procedures].some(isSmall) };
  if (!isEstimate(estimate)) return { ...common, text: estimate.reason, p: '', mark: null, numbers: null };
  const { value, lower, upper } = estimate;
  const [from, to] = [place(lower), place(upper)];
  return {
    ...common,
    text: `${formatRatio(value)} (${formatLimits(estimate, formatRatio)})`,
    p: formatP(p),
    mark: Number.isFinite(from) && Number.isFinite(to)
      ? { at: clamp(place(value)), from: clamp(from), to: clamp(to), runsOffLeft: from < -1e-9, runsOffRight: to > 100 + 1e-9 } : null,
    numbers: { value, lower, upper, p },
  };
}

const heading = ({ adjustedFor }: CoxResult): string => (adjustedFor.length === 0 ? 'Not adjusted' : `Adjusted for ${formatList(adjustedFor.map(inSentence))}`);

/** What the test of proportional hazards says of the groups, in a sentence. */
export function proportionalityWords(cox: CoxResult): string {
  if ('status' in cox.proportionalHazards) return `Whether the ratio is the same at all times could not be tested: ${cox.proportionalHazards.reason}.`;
  const test = cox.proportionalHazards.find((t) => t.term === 'group');
  if (test === undefined) return 'Whether the ratio is the same at all times was not tested.';
  return cox.groupsProportional
    ? `No sign that the ratio changes with time since surgery (test of proportional hazards: ${formatPEquation(test.p)}), though such a test misses much when revisions are few.`
    : `The ratio changes with time since surgery (test of proportional hazards: ${formatPEquation(test.p)}): read it by period.`;
}

function groupParts(analysis: Analysis, cox: CoxResult, place: (ratio: number) => number): ForestPart[] {
  const rowsOf = (ratios: readonly HazardRatio[]) => ratios.filter((r) => r.term === 'group').map((r) => row(analysis, r, place));
  const overall = { heading: heading(cox), note: proportionalityWords(cox), demoted: false, rows: rowsOf(cox.ratios) };
  if (cox.groupsProportional || 'status' in cox.proportionalHazards) return [overall];
  const { periods } = analysis;
  const byPeriod = 'status' in periods
    ? [{ heading: 'By period since surgery', note: `Ratios by period can't be estimated: ${periods.reason}.`, demoted: false, rows: [] }]
    : periods.map((period, i): ForestPart => ({
      heading: `${heading(cox)}, ${periodName(period, analysis.question.cutYears)}`, note: i === 0 ? proportionalityWords(cox) : null, demoted: false, rows: rowsOf(period.ratios),
    }));
  return [...byPeriod, { ...overall, heading: `${overall.heading}, all times taken together`, note: 'One ratio for all times hides the change above. It is given for completeness only.', demoted: true }];
}

function parts(analysis: Analysis, place: (ratio: number) => number): readonly ForestPart[] {
  const { adjusted, unadjusted } = analysis;
  if (adjusted.status === 'notEstimable') return [{ heading: 'Hazard ratios', note: `Can't be estimated: ${adjusted.reason}.`, demoted: false, rows: [] }];
  const covariates = adjusted.ratios.filter((r) => r.term !== 'group').map((r) => row(analysis, r, place));
  const plain = unadjusted.status === 'ok' && adjusted.adjustedFor.length > 0
    ? [{ heading: 'Not adjusted', note: null, demoted: false, rows: unadjusted.ratios.filter((r) => r.term === 'group').map((r) => row(analysis, r, place)) }] : [];
  return [
    ...groupParts(analysis, adjusted, place), ...plain,
    ...(covariates.length > 0 ? [{ heading: 'The covariates of the adjusted model', note: 'Not to be read as effects: each is adjusted for the others and the groups.', demoted: true, rows: covariates }] : []),
  ];
}

/** Hazard ratios against the reference on one logarithmic axis; by period first where one ratio for all times would mislead. */
export function forestFigure(analysis: Analysis): ForestFigure {
  const limits = parts(analysis, () => 0).flatMap((part) => part.rows.flatMap(({ numbers }) => (numbers ? [numbers.lower, numbers.upper, numbers.value] : [])))
    .filter((ratio) => Number.isFinite(ratio) && ratio > 0);
  const ticks = ratioTicks(Math.max(0.05, Math.min(...limits, 1)), Math.min(20, Math.max(...limits, 1)));
  const place = axis(ticks);
  return { ticks: ticks.map((tick) => ({ at: place(tick), label: String(tick) })), unity: place(1), parts: parts(analysis, place) };
}
