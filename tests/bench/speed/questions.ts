import { Question } from '../../../lib/contract/question';
import { ScreeningQuestion } from '../../../lib/contract/screeningQuestion';
import { UnitsQuestion } from '../../../lib/contract/unitsQuestion';

// Each run asks from another first year, all of them before the first procedure: the same rows, but no answer that was kept.
const rows = (run: number) => ({ firstYear: 1951 + run });

/** Five designs of glenoid component, adjusted for age group and sex. */
export const fiveCurves = (run: number, cluster: Question['cluster'] = 'none'): Question => Question.parse({ cohort: rows(run), adjust: ['age', 'sex'], cluster });

/** The same with 18 coefficients. */
export const manyPatterns = (run: number): Question =>
  Question.parse({ cohort: rows(run), adjust: ['age', 'sex', 'asa', 'bmi', 'period', 'approach'], cluster: 'none' });

export const allModels = (run: number): ScreeningQuestion => ScreeningQuestion.parse({ cohort: rows(run) });
export const allHospitals = (run: number): UnitsQuestion => UnitsQuestion.parse({ cohort: rows(run) });
