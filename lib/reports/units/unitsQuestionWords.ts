import type { UnitKind, UnitsQuestion } from '../../contract/unitsQuestion';
import { labelOf } from '../../contract/codes';
import * as codes from '../../contract/codes';
import { formatConfidence, formatList, formatPercent, formatRatio, formatDecimal, formatSpan } from '../format';
import { cohortWords, covariateLabels, inSentence, netWords, outcomeWords, type CohortWords } from '../questionWords';

/** A unit of a kind, and several of them. */
export const unitNouns: Readonly<Record<UnitKind, { readonly one: string; readonly several: string }>> = {
  hospital: { one: 'hospital', several: 'hospitals' }, surgeon: { one: 'surgeon', several: 'surgeons' },
};

/** What the unit that is looked at is called in tables and drawings, which name none. */
export const ownLabels: Readonly<Record<UnitKind, string>> = { hospital: 'Our unit', surgeon: 'The surgeon' };

export const peerLabels = (kind: UnitKind): Readonly<Record<UnitsQuestion['peers'], string>> => ({
  all: `all other ${unitNouns[kind].several}`,
  volume: `other ${unitNouns[kind].several} of like yearly volume`,
  region: `other ${unitNouns[kind].several} of the same region`,
  chosen: 'hospitals of your own choice',
});

export const wideningLabels: Readonly<Record<UnitsQuestion['widening'], string>> = {
  additive: 'by a variance between units', multiplicative: 'by a factor on all variances',
};

/** The parts of the question that read as a sentence and can be edited one by one. */
export interface UnitsQuestionWords extends CohortWords {
  readonly kind: string;
  readonly peers: string;
  readonly adjust: string;
  readonly outcome: string;
  readonly horizon: string;
}

/** The outcome in the form that a comparison has it: any component may be the one revised. */
const ofAnyComponent = ({ outcome }: UnitsQuestion) => ({ cohort: { role: 'glenoid' as const }, outcome: { ...outcome, ofRoleOnly: false } });
export const unitsOutcomeWords = (question: UnitsQuestion): string => outcomeWords(ofAnyComponent(question));
export const unitsNetWords = (question: UnitsQuestion): string => netWords(ofAnyComponent(question));

export function unitsQuestionWords(question: UnitsQuestion): UnitsQuestionWords {
  const { kind, peers, cohort, adjust, horizonYears } = question;
  return {
    ...cohortWords(cohort),
    kind: unitNouns[kind].several,
    peers: peerLabels(kind)[peers],
    adjust: adjust.length === 0 ? 'nothing' : formatList(adjust.map((c) => covariateLabels[c])),
    outcome: unitsOutcomeWords(question),
    horizon: formatSpan(horizonYears),
  };
}

/** The whole question as one sentence, for the head of a file. */
export function unitsQuestionSentence(question: UnitsQuestion): string {
  const w = unitsQuestionWords(question);
  return `Among ${w.classes} replacements of the ${w.joint} for ${w.indications}, in ${w.patients}, operated in ${w.years}: `
    + `how do the revisions at ${w.kind} compare with those expected, adjusted for ${w.adjust}, counting revision ${w.outcome}, within ${w.horizon}, beside ${w.peers}?`;
}

/** The rule by which a unit is asked about. */
export const ruleWords = ({ minimumExpected, minimumRatio, alarmLevel, widening }: UnitsQuestion): string =>
  `at least ${formatDecimal(minimumExpected)} revisions expected, a ratio of observed to expected of at least ${formatRatio(minimumRatio)}, `
  + `and above the ${formatConfidence(alarmLevel)} limit of the funnel, widened ${wideningLabels[widening]}`;

/** What was asked beyond the question's sentence. */
export const unitsSettings = (question: UnitsQuestion): string => [
  `asked about: ${ruleWords(question)}`,
  `confidence ${formatConfidence(question.confidence)}`,
  question.largestStep === 0 ? 'no stop rule' : `curves stop where one more revision would lower survival by more than ${formatPercent(100 * question.largestStep)} points`,
  ...(question.outcome.reasons.length > 0 ? [`reasons: ${question.outcome.reasons.map((r) => labelOf(codes.reasonCodes, r)).join('; ')}`] : []),
].join('; ');

/** `5.0% at 10 years, margin 1.0 points, for the hip, set in 2014 by …`. */
export const benchmarkWords = ({ percent, margin, atYears, joint, source, setIn }: NonNullable<UnitsQuestion['benchmark']>): string =>
  `${formatPercent(percent)}% at ${formatSpan(atYears)}, margin ${formatPercent(margin)} percentage points, for the ${inSentence(labelOf(codes.jointCodes, joint))}, of ${setIn}; source: ${source}`;
