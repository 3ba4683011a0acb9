import { labelOf } from '../../contract/codes';
import * as codes from '../../contract/codes';
import type { LookPeriod, MonitoringQuestion, SubjectKind } from '../../contract/monitoringQuestion';
import { formatCount, formatDate, formatList, formatPercent, formatRatio, formatSpan } from '../format';
import { cohortWords, covariateLabels, inSentence, outcomeWords, type CohortWords } from '../questionWords';

/** One whose chart is drawn, and several. */
export const subjectNouns: Readonly<Record<SubjectKind, { readonly one: string; readonly several: string }>> = {
  hospital: { one: 'hospital', several: 'hospitals' }, surgeon: { one: 'surgeon', several: 'surgeons' }, component: { one: 'model', several: 'models' },
};
export const lookLabels: Readonly<Record<LookPeriod, string>> = { month: 'month', quarter: 'quarter', year: 'year' };
export const restartLabels: Readonly<Record<MonitoringQuestion['restart'], string>> = { afterReview: 'after a review', afterSignal: 'after each signal' };

/** The parts of the question that read as a sentence and can be edited one by one. */
export interface MonitoringQuestionWords extends CohortWords {
  readonly subject: string;
  readonly ratio: string;
  readonly adjust: string;
  readonly outcome: string;
  readonly horizon: string;
  readonly falseAlarm: string;
}

export const roleWords = ({ role }: Pick<MonitoringQuestion, 'role'>): string => inSentence(labelOf(codes.roleCodes, role));

export function monitoringQuestionWords(question: MonitoringQuestion): MonitoringQuestionWords {
  const { kind, model, cohort, outcome, role, adjust, ratio, falseAlarm, overYears, horizonYears } = question;
  return {
    ...cohortWords(cohort),
    subject: kind !== 'component' ? `a ${kind}` : model === null ? `a model of the ${roleWords(question)}` : `the ${roleWords(question)} ${model}`,
    ratio: `${formatRatio(ratio)} times`,
    adjust: adjust.length === 0 ? 'nothing' : formatList(adjust.map((c) => covariateLabels[c])),
    outcome: outcomeWords({ cohort: { role }, outcome }),
    horizon: formatSpan(horizonYears),
    falseAlarm: `${formatPercent(100 * falseAlarm)}% in ${formatSpan(overYears)}`,
  };
}

/** The whole question as one sentence. It names no hospital and no surgeon. */
export function monitoringSentence(question: MonitoringQuestion): string {
  const w = monitoringQuestionWords(question);
  return `Among ${w.classes} replacements of the ${w.joint} for ${w.indications}, in ${w.patients}, operated in ${w.years}: `
    + `do revisions of ${w.subject} come ${w.ratio} as often over time as expected, adjusted for ${w.adjust}, counting revision ${w.outcome}, within ${w.horizon} of surgery, with a chance of a false signal of ${w.falseAlarm}?`;
}

/** What was asked beyond the question's sentence. */
export const monitoringSettings = ({ histories, seed, firstDay, lastDay, lagDays, restart, reviews, looks, largestStep, outcome }: MonitoringQuestion): string => [
  `looked at every ${lookLabels[looks]}`,
  firstDay === null ? 'from the opening of the registry or the first procedure' : `from ${formatDate(firstDay)}`,
  lastDay === null ? `until ${formatCount(lagDays)} days before the closing date` : `until ${formatDate(lastDay)}`,
  restart === 'afterSignal' ? 'starts again after each signal' : reviews.length === 0 ? 'starts again after a review; none is recorded' : `starts again after reviews on ${formatList(reviews.map(formatDate))}`,
  `${formatCount(histories)} simulated periods, seed ${seed}`,
  largestStep === 0 ? 'no stop rule for the reference' : `the reference is used as long as one more revision would lower its survival by no more than ${formatPercent(100 * largestStep)} points`,
  ...(outcome.reasons.length > 0 ? [`reasons: ${outcome.reasons.map((r) => labelOf(codes.reasonCodes, r)).join('; ')}`] : []),
].join('; ');
