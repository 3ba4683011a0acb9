import { Question } from '../../contract/question';
import type { UnitsQuestion } from '../../contract/unitsQuestion';

/** What is asked of the units, for estimators that take the question of a comparison. Its role and grouping play no part: any component counts. */
export const comparisonQuestion = ({ cohort, outcome, adjust, horizonYears, atYears, confidence, largestStep }: UnitsQuestion): Question =>
  Question.parse({ cohort, outcome, adjust, horizonYears, atYears, confidence, largestStep, cluster: 'none' });
