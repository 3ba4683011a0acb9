import * as codes from '../../contract/codes';
import { labelOf } from '../../contract/codes';
import type { Comparator, ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Component } from '../../screening/components/screeningResult';
import { formatConfidence, formatCount, formatDecimal, formatList, formatRatio, formatSpan } from '../format';
import { cohortWords, covariateLabels, inSentence, outcomeWords, type CohortWords } from '../questionWords';

/** A role inside a sentence: `glenoid component`. */
export const roleWords = (role: Component['role']): string => inSentence(labelOf(codes.roleCodes, role));

/** `glenoid component G-10`; with the class of procedure where it is screened in each. */
export const componentWords = ({ role, model, class: ofClass }: Component): string =>
  `${roleWords(role)} ${model}${ofClass === null ? '' : ` in ${inSentence(labelOf(codes.procedureClassCodes, ofClass))} replacements`}`;

/** The kind that it is of, as a table has it. */
export const kindLabel = ({ role, design, class: ofClass }: Component, comparator: Comparator): string => {
  const roleLabel = labelOf(codes.roleCodes, role);
  if (comparator === 'role') return roleLabel;
  if (comparator === 'roleAndClass') return `${roleLabel}, ${inSentence(labelOf(codes.procedureClassCodes, ofClass ?? ''))}`;
  return `${roleLabel}, ${design === null ? 'design not recorded' : inSentence(labelOf(codes.designClassCodes, design))}`;
};

export const comparatorLabels: Readonly<Record<Comparator, string>> = {
  design: 'all others of its role and design class', role: 'all others of its role, whatever their design', roleAndClass: 'all others of its role in the same class of procedure',
};

export const testLabels: Readonly<Record<ScreeningQuestion['criteria']['test'], string>> = {
  conditional: 'exact, allowing for chance in the others’ revisions', poisson: 'exact Poisson, the others’ rate taken as known',
};

/** The parts of the question that read as a sentence and can be edited one by one. */
export interface ScreeningQuestionWords extends CohortWords {
  readonly roles: string;
  readonly comparator: string;
  readonly without: string;
  readonly adjust: string;
  readonly outcome: string;
  readonly horizon: string;
}

/** The event; where only revisions of the component itself count, that of each role in turn. */
const outcomeOf = ({ outcome }: ScreeningQuestion): string =>
  `${outcomeWords({ cohort: { role: 'glenoid' }, outcome: { ...outcome, ofRoleOnly: false } })}${outcome.ofRoleOnly ? ', the component itself removed or exchanged' : ''}`;

export function screeningQuestionWords(question: ScreeningQuestion): ScreeningQuestionWords {
  const { cohort, roles, comparator, exceptModels, adjust, horizonYears } = question;
  return {
    ...cohortWords(cohort),
    roles: roles.length === 0 ? 'every kind of component' : formatList(roles.map(roleWords)),
    comparator: comparatorLabels[comparator],
    without: exceptModels.length === 0 ? 'none left out' : `${exceptModels.length > 3 ? `${exceptModels.length} chosen models` : formatList(exceptModels)} left out`,
    adjust: adjust.length === 0 ? 'nothing' : formatList(adjust.map((c) => covariateLabels[c])),
    outcome: outcomeOf(question),
    horizon: formatSpan(horizonYears),
  };
}

/** The whole question as one sentence, for the head of a file. */
export function screeningQuestionSentence(question: ScreeningQuestion): string {
  const w = screeningQuestionWords(question);
  return `Among ${w.classes} replacements of the ${w.joint} for ${w.indications}, in ${w.patients}, operated in ${w.years}: which models of ${w.roles} are revised more often than `
    + `${w.comparator} (${w.without}), counting revision ${w.outcome}, within ${w.horizon}; and does that stand adjusted for ${w.adjust}?`;
}

/** What a model must meet, and which look this is. */
export function screeningSettings({ criteria, look, earlier, cutYears }: ScreeningQuestion): string {
  const { minimumAtRisk, atRiskYears, minimumExpected, minimumRatio, confidence, falseDiscoveryRate, test } = criteria;
  return [
    `assessed from ${formatCount(minimumAtRisk)} at risk at ${formatSpan(atRiskYears)} and ${formatDecimal(minimumExpected)} revisions expected`,
    `flagged from ${formatRatio(minimumRatio)} times the others’ rate, a shrunken lower limit above 1, and a false discovery rate of ${formatConfidence(falseDiscoveryRate)}`,
    `test: ${testLabels[test]}`, `confidence ${formatConfidence(confidence)}`,
    `periods cut at ${cutYears.length === 0 ? 'no time' : formatList(cutYears.map(formatSpan))}`,
    `look ${look}`, earlier.length === 0 ? 'no earlier signals' : `earlier signals: ${earlier.map((e) => `${e.model} at look ${e.look}`).join(', ')}`,
  ].join('; ');
}
