import type { Contrast, ContrastAtTime, Difference } from '../../analysis/chapters/differenceResult';
import type { Analysis, Estimate } from '../../analysis/result';
import type { NotEstimable } from '../../stats/cells';
import type { ProceduresPerRevision } from '../../stats/proceduresPerRevision';
import { isEstimate } from '../estimate';
import { formatConfidence, formatCount, formatPercent, formatPEquation, formatSpan } from '../format';
import { percentWords, quoted, reasonWords, type Words } from '../phrases';
import { netWords } from '../questionWords';
import { stepAt } from '../toldDays';

interface Labelled { readonly label: string }

const points = (by: number) => formatPercent(Math.abs(by));
const side = (by: number) => `${points(by)} ${by < 0 ? 'fewer' : 'more'}`;

/** `2.4 percentage points more (95% CI 1.1–3.7)`, or that it could go either way. */
export function pointsWords({ value, lower, upper }: Estimate, confidence: number): string {
  const level = `${formatConfidence(confidence)} CI`, lead = `${points(value)} percentage points ${value < 0 ? 'fewer' : 'more'}`;
  if (lower <= 0 && upper >= 0) return `${lead} (${level} from ${side(lower)} to ${side(upper)}: it could go either way)`;
  const [near, far] = value > 0 ? [lower, upper] : [upper, lower];
  return `${lead} (${level} ${points(near)}–${points(far)})`;
}

/** The latest time at which the adjusted difference may be read, else the crude one. */
export const leadingTime = ({ atTimes }: Contrast): ContrastAtTime | undefined => {
  const latest = [...atTimes].sort((a, b) => b.years - a.years);
  return latest.find(({ adjusted }) => isEstimate(adjusted.difference)) ?? latest.find(({ unadjusted }) => isEstimate(unadjusted.difference));
};

/** The counts that a difference at a time could be computed back to. */
export const basisOf = (analysis: Analysis, group: string, { years, events }: ContrastAtTime): readonly number[] =>
  [events.group, events.reference, ...stepAt(analysis, group, years), ...stepAt(analysis, analysis.reference, years)];

export function contrastWords(analysis: Analysis, contrast: Contrast, reference: Labelled): Words[] {
  const { question } = analysis, at = leadingTime(contrast), group = quoted(contrast);
  if (at === undefined) return [{ text: `${group} and ${quoted(reference)} can’t be set against each other at any of the times asked for: ${reasonWords(reasonOf(contrast))}.`, basis: [] }];
  const { years, unadjusted: { difference: crude }, adjusted: { difference: alike } } = at, basis = basisOf(analysis, contrast.group, at);
  const asTheyAre = isEstimate(crude) ? [`As the groups are, ${pointsWords(crude, question.confidence)} were revised by ${formatSpan(years)} in ${group} than in ${quoted(reference)}, ${netWords(question)}.`] : [];
  const sameMix = isEstimate(alike)
    ? `With the case mix of all in both groups, ${pointsWords(alike, question.confidence)}.`
    : `With the case mix of all in both groups it can’t be had: ${reasonWords(alike.reason)}.`;
  return [...asTheyAre, sameMix].map((text) => ({ text, basis }));
}

const reasonOf = ({ atTimes }: Contrast): string => {
  const difference = atTimes.at(-1)?.unadjusted.difference;
  return difference === undefined || isEstimate(difference) ? 'too few are followed' : difference.reason;
};

const inEvery = (procedures: number): string => `in every ${formatCount(Math.ceil(procedures))}`;
const perProcedures = (what: 'more' | 'fewer', procedures: number): string => (Number.isFinite(procedures) ? `one ${what} ${inEvery(procedures)}` : 'none in any number');

/** How many procedures it takes for one revision fewer or more, or why no number would be true. */
export function proceduresWords(result: ProceduresPerRevision | NotEstimable, years: number, group: Labelled, reference: Labelled, confidence: number): string {
  const when = `by ${formatSpan(years)}`;
  if (result.status === 'notEstimable') return `How many procedures it takes for one revision ${when} can’t be said: ${reasonWords(result.reason)}.`;
  if (result.status === 'spansZero') {
    return `No single number of procedures for one revision ${when} would be true: the limits go from ${perProcedures('more', result.moreFrom)}, through none in any number, to ${perProcedures('fewer', result.fewerFrom)}.`;
  }
  const { effect, procedures, lower, upper } = result;
  return `That is one revision ${effect} ${when} ${inEvery(procedures)} procedures done with ${quoted(group)} instead of ${quoted(reference)} `
    + `(${formatConfidence(confidence)} CI ${formatCount(Math.ceil(lower))}–${Number.isFinite(upper) ? formatCount(Math.ceil(upper)) : 'any number'}).`;
}

/** Mean time free of revision and what the groups differ by. */
export function meanTimeWords({ question }: Analysis, { restrictedMean }: Difference, reference: Labelled): Words[] {
  if (restrictedMean.status === 'notEstimable') return [{ text: `The mean time free of revision can’t be had: ${reasonWords(restrictedMean.reason)}.`, basis: [] }];
  const { horizonDay, stoppedBy, differences } = restrictedMean;
  const span = formatSpan(Math.round(horizonDay / 36.525) / 10);
  const until = stoppedBy === null ? [] : [{ text: `Looked at to ${span}, where too few are followed in ${quoted({ label: stoppedBy })}.`, basis: [] }];
  return [...until, ...differences.map(({ label, days, p }): Words => {
    if (!isEstimate(days)) return { text: `For ${quoted({ label })} it can’t be had: ${reasonWords(days.reason)}.`, basis: [] };
    const { value, lower, upper } = days, level = `${formatConfidence(question.confidence)} CI`;
    const daysOf = (by: number) => formatCount(Math.abs(by));
    const clear = lower > 0 || upper < 0, [near, far] = value > 0 ? [lower, upper] : [upper, lower];
    const limits = clear ? `${level} ${daysOf(near)}–${daysOf(far)}` : `${level} from ${daysOf(lower)} ${lower < 0 ? 'shorter' : 'longer'} to ${daysOf(upper)} ${upper < 0 ? 'shorter' : 'longer'}`;
    return {
      text: `Of the first ${span}, the mean time free of revision in ${quoted({ label })} is ${daysOf(value)} days ${value < 0 ? 'shorter' : 'longer'} than in ${quoted(reference)} (${limits}; ${formatPEquation(p)}).`,
      basis: [],
    };
  })];
}

/** Of those unrevised half-way, how many were revised later. */
export function conditionalWords({ question }: Analysis, { conditional }: Difference): Words[] {
  const readable = conditional.filter(({ estimate }) => isEstimate(estimate));
  const last = Math.max(...readable.map(({ years }) => years)), starts = [...new Set(readable.filter(({ years }) => years === last).map(({ fromYears }) => fromYears))].sort((a, b) => a - b);
  const from = starts.findLast((years) => years <= last / 2) ?? starts[0];
  return readable.filter((row) => row.years === last && row.fromYears === from).map(({ label, estimate, events, atRisk }) => ({
    text: `Of those in ${quoted({ label })} unrevised at ${formatSpan(from ?? 0)}, ${isEstimate(estimate) ? percentWords(estimate, question.confidence) : ''} were revised by ${formatSpan(last)}.`,
    basis: [events, atRisk],
  }));
}
