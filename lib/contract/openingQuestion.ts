import { Question } from './question';

/** What the workbench asks first of the sample registry, when the address asks nothing. */
export const openingQuestion: Question = Question.parse({
  cohort: { joint: 'shoulder', role: 'glenoid', classes: ['anatomic_total'] },
  compare: 'design',
  groups: ['all_poly_pegged', 'all_poly_keeled'],
  reference: 'all_poly_pegged',
  adjust: ['age', 'sex'],
  horizonYears: 10,
});
