import type { Analysis, AtTime, CoxResult, Estimate, Group, HazardRatio, PeriodRatios } from '../analysis/result';
import { daysOfYears } from '../cohort/days';
import { riskDifference } from '../stats/riskDifference';
import { hasLimits, isEstimate } from './estimate';
import { formatConfidence, formatCount, formatDaysAsYears, formatPercent, formatPEquation, formatRatio, formatSpan } from './format';
import { adjustedWords, capital, finished, percentWords, quoted, ratioWords, reach, reasonWords, type Sentence, type Words } from './phrases';
import { inSentence, netWords, outcomeWords } from './questionWords';
import { stepAt } from './toldDays';

/** What the numbers say of one group against the reference. */
export interface Reading {
  readonly group: string;
  readonly heading: string;
  readonly sentences: readonly Sentence[];
}

type Estimated = AtTime & { readonly estimate: Estimate };
const isEstimated = (at: AtTime): at is Estimated => isEstimate(at.estimate);

/** The latest time asked for at which every one of the groups may be read. */
function latestReadable(analysis: Analysis, groups: readonly Group[]): readonly Estimated[] | null {
  const times = [...new Set(analysis.atTimes.map((at) => at.years))].sort((a, b) => b - a);
  for (const years of times) {
    const found = groups.map(({ key }) => analysis.atTimes.find((at) => at.group === key && at.years === years));
    if (found.every((at) => at !== undefined && isEstimated(at))) return found;
  }
  return null;
}

function absolute(analysis: Analysis, group: Group, reference: Group): Words[] {
  const found = latestReadable(analysis, [group, reference]);
  if (found === null) return [{ text: `Too few are followed in ${quoted(group)} or ${quoted(reference)} to read a percentage at any of the times asked for.`, basis: [] }];
  const [own, other] = found as [Estimated, Estimated];
  const basis = [own.events, other.events, ...stepAt(analysis, own.group, own.years), ...stepAt(analysis, other.group, other.years)];
  return [{
    text: `At ${formatSpan(own.years)}, ${percentWords(own.estimate, analysis.question.confidence)} of ${quoted(group)} and ${percentWords(other.estimate, analysis.question.confidence)} of ${quoted(reference)} `
      + `had been revised ${outcomeWords(analysis.question)}, ${netWords(analysis.question)}.`,
    basis,
  }, { text: differenceWords(riskDifference(own.estimate, other.estimate), group, analysis.question.confidence), basis }];
}

function differenceWords(difference: Estimate, group: Group, confidence: number): string {
  const { value, lower, upper } = difference;
  if (!hasLimits(difference)) return 'The difference has no limits here and is not stated.';
  const level = `${formatConfidence(confidence)} CI`;
  const points = (by: number) => formatPercent(Math.abs(by));
  const side = (by: number) => `${points(by)} ${by < 0 ? 'fewer' : 'more'}`;
  if (lower > 0 || upper < 0) {
    const [near, far] = value > 0 ? [lower, upper] : [upper, lower];
    return `Before any adjustment, that is ${points(value)} percentage points ${value < 0 ? 'fewer' : 'more'} (${level} ${points(near)}–${points(far)}) in ${quoted(group)}.`;
  }
  return `Before any adjustment, the difference could go either way: ${points(value)} percentage points ${value < 0 ? 'fewer' : 'more'} (${level} from ${side(lower)} to ${side(upper)}) in ${quoted(group)}.`;
}

const ratioOf = (ratios: readonly HazardRatio[], group: Group): HazardRatio | undefined => ratios.find((r) => r.term === 'group' && r.level === group.key);

function constantRatio(analysis: Analysis, cox: CoxResult, group: Group, ratio: HazardRatio, estimate: Estimate): Words[] {
  const words = ratioWords(estimate, analysis.question.confidence);
  const lead = capital(adjustedWords(cox));
  const basis = [ratio.events];
  if (!hasLimits(estimate)) return [{ text: `${lead}, the hazard ratio of ${quoted(group)}, ${formatRatio(estimate.value)}, has no limits and can't be read.`, basis }];
  if (estimate.lower <= 1 && estimate.upper >= 1) {
    return [{ text: `${lead}, the hazard ratio of ${quoted(group)} is ${words}: the data agree with anything ${reach(estimate)}. No difference is shown, and none is ruled out.`, basis }];
  }
  return [{ text: `${lead}, revision was ${estimate.value < 1 ? 'less' : 'more'} frequent in ${quoted(group)}: hazard ratio ${words}.`, basis }];
}

/** `in the first 6 months`, `from 6 months to 2 years`, `after 2 years`. */
export function periodName({ fromDay, toDay }: PeriodRatios, cutYears: readonly number[]): string {
  const years = (day: number) => formatSpan(cutYears.find((cut) => daysOfYears(cut) === day) ?? day / 365.25);
  if (fromDay === 0) return toDay === null ? 'throughout' : `in the first ${years(toDay)}`;
  return toDay === null ? `after ${years(fromDay)}` : `from ${years(fromDay)} to ${years(toDay)}`;
}

function changingRatio(analysis: Analysis, cox: CoxResult, group: Group): Words[] {
  const test = 'status' in cox.proportionalHazards ? undefined : cox.proportionalHazards.find((t) => t.term === 'group');
  const why = `How the groups compare changes with time since surgery (test of proportional hazards: ${formatPEquation(test?.p ?? NaN)}), so one number for all times would mislead`;
  const { periods } = analysis;
  if ('status' in periods) return [{ text: `${why}. Ratios by period can't be estimated: ${reasonWords(periods.reason)}.`, basis: [] }];
  const parts = periods.map((period) => {
    const name = periodName(period, analysis.question.cutYears);
    const ratio = ratioOf(period.ratios, group);
    if (ratio === undefined) return { text: `${name} not estimated`, basis: [] };
    return isEstimate(ratio.estimate)
      ? { text: `${name} ${ratioWords(ratio.estimate, analysis.question.confidence)}`, basis: [ratio.events] }
      : { text: `${name} not estimable (${ratio.estimate.reason})`, basis: [ratio.events] };
  });
  return [{
    text: `${why}. ${capital(adjustedWords(cox))}, the hazard ratio of ${quoted(group)} was ${parts.map((p) => p.text).join('; ')}.`,
    basis: parts.flatMap((p) => p.basis),
  }];
}

function relative(analysis: Analysis, group: Group): Words[] {
  const cox = analysis.adjusted;
  if (cox.status === 'notEstimable') return [{ text: `A hazard ratio can't be estimated: ${reasonWords(cox.reason)}.`, basis: [] }];
  const ratio = ratioOf(cox.ratios, group);
  if (ratio === undefined) return [{ text: `A hazard ratio can't be estimated: ${quoted(group)} has no complete record in the model.`, basis: [] }];
  if (!isEstimate(ratio.estimate)) return [{ text: `${capital(adjustedWords(cox))}, a hazard ratio can't be estimated: ${ratio.estimate.reason}.`, basis: [ratio.events] }];
  if ('status' in cox.proportionalHazards) {
    const untested = `Whether the ratio is the same at all times could not be tested: ${reasonWords(cox.proportionalHazards.reason)}.`;
    return [...constantRatio(analysis, cox, group, ratio, ratio.estimate), { text: untested, basis: [] }];
  }
  return cox.groupsProportional ? constantRatio(analysis, cox, group, ratio, ratio.estimate) : changingRatio(analysis, cox, group);
}

function stopped(analysis: Analysis, group: Group): Words[] {
  const stop = analysis.curves.find((curve) => curve.group === group.key)?.stop;
  if (!stop?.stopped) return [];
  const basis = [stop.atRisk], few = `too few are followed in ${quoted(group)} (${formatCount(stop.atRisk)} at risk at that time)`;
  const from = formatDaysAsYears(stop.day) === formatDaysAsYears(0) ? `Almost from the start ${few}; its` : `Beyond ${formatDaysAsYears(stop.day)} years ${few}; its later`;
  return [{ text: `${from} results are not shown.`, basis }];
}

const single = (analysis: Analysis, group: Group): Words[] => {
  const [at] = latestReadable(analysis, [group]) ?? [];
  return at === undefined
    ? [{ text: `Too few are followed in ${quoted(group)} to read a percentage at any of the times asked for.`, basis: [] }]
    : [{ text: `At ${formatSpan(at.years)}, ${percentWords(at.estimate, analysis.question.confidence)} of ${quoted(group)} had been revised ${outcomeWords(analysis.question)}, ${netWords(analysis.question)}.`, basis: [at.events, ...stepAt(analysis, at.group, at.years)] }];
};

/**
 * The answer in words: one reading per group against the reference, or one of the only group. Says what was seen and how sure it is,
 * never why.
 */
export function plainWords(analysis: Analysis): readonly Reading[] {
  const reference = analysis.groups.find(({ key }) => key === analysis.reference);
  const others = analysis.groups.filter((group) => group !== reference);
  if (reference === undefined || others.length === 0) {
    return analysis.groups.map((group) => ({ group: group.key, heading: group.label, sentences: finished([...single(analysis, group), ...stopped(analysis, group)]) }));
  }
  return others.map((group) => ({
    group: group.key,
    heading: `${group.label} against ${inSentence(reference.label)}`,
    sentences: finished([
      ...absolute(analysis, group, reference), ...relative(analysis, group), ...stopped(analysis, group), ...(others.length === 1 ? stopped(analysis, reference) : []),
    ]),
  }));
}
