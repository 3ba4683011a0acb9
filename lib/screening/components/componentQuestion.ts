import { Question } from '../../contract/question';
import { codesOf, designClassCodes, procedureClassCodes, type Role } from '../../contract/codes';
import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import { daysOfYears } from '../../cohort/days';
import type { Component } from './screeningResult';
import type { ScreeningSettings } from './screeningSettings';

/** All models of a role, as a comparison asks for them. */
export const roleQuestion = ({ cohort, outcome, horizonYears }: ScreeningQuestion, role: Role): Question =>
  Question.parse({ cohort: { ...cohort, role }, outcome, compare: 'model', horizonYears, cluster: 'none' });

/** One model against all others that the screening holds it against: the same question on the page that compares. */
export function componentQuestion(question: ScreeningQuestion, { role, model, design, class: ofClass }: Component): Question {
  const { cohort, comparator, exceptModels, outcome, adjust, horizonYears, cutYears, criteria: { confidence } } = question;
  return Question.parse({
    cohort: {
      ...cohort, role,
      designs: comparator === 'design' ? codesOf(designClassCodes).filter((code) => code === design) : [],
      classes: comparator === 'roleAndClass' ? codesOf(procedureClassCodes).filter((code) => code === ofClass) : cohort.classes,
      exceptModels: exceptModels.filter((other) => other !== model),
    },
    outcome, compare: 'model', groups: [model], withOthers: true, adjust, cluster: 'hospital', horizonYears, cutYears, confidence,
    atYears: [1, 2, 5, 7, 10, 15, 20].filter((years) => years <= horizonYears),
  });
}

export const settingsOf = ({ criteria: { atRiskYears, ...criteria }, look }: ScreeningQuestion): ScreeningSettings =>
  ({ look, atRiskDays: daysOfYears(atRiskYears), ...criteria });
