import { expect, it } from 'vitest';
import { attritionQuery } from './oracle/attrition';
import { comparedConditions, comparisonFactor } from '@/lib/cohort/comparison';
import { cohortConditions } from '@/lib/cohort/conditions';
import { Question } from '@/lib/contract/question';
import { followupDatabase, rowsOf } from './followup';

it('asks for the first condition that is not met, also where the value is not recorded', () => {
  expect(attritionQuery([{ sql: '"sex" IN (?)', params: ['male'] }, { sql: '"age" >= ?', params: [50] }])).toEqual({
    sql: `SELECT CASE WHEN c0 IS NOT TRUE THEN 0 WHEN c1 IS NOT TRUE THEN 1 ELSE 2 END AS step,
(CASE WHEN c0 IS NOT TRUE THEN c0 IS NULL WHEN c1 IS NOT TRUE THEN c1 IS NULL ELSE false END)::INTEGER AS unrecorded,
count(*)::INTEGER AS procedures
FROM (SELECT ("sex" IN (?)) AS c0, ("age" >= ?) AS c1 FROM followup) GROUP BY ALL ORDER BY step, unrecorded DESC`,
    params: ['male', 50],
  });
});

it('leaves each procedure out once, at the first step it fails', async () => {
  const database = await followupDatabase([
    { joint: 'hip', sex: 'male' },
    { glenoid_model: null, glenoid_design: null, class: 'hemi' },
    { class: 'reverse_total', glenoid_design: 'reverse_baseplate' },
    { sex: 'male', age: 50 },
    { age: 50 },
    { proximal_fixation: null },
    { entry_day: 3653 },
    { entry_day: 3652 },
    { glenoid_design: 'metal_backed' },
    { glenoid_design: 'all_poly_keeled' },
    {},
  ]);
  const question = Question.parse({
    cohort: { classes: ['anatomic_total'], sexes: ['female'], minAge: 55, proximalFixations: ['cemented'] },
    groups: ['all_poly_keeled', 'all_poly_pegged'],
  });
  const factor = comparisonFactor(question);
  const conditions = [
    ...cohortConditions(question.cohort, question.horizonYears),
    ...comparedConditions(factor, [{ code: 0, key: 'all_poly_keeled', label: 'Keeled' }, { code: 1, key: 'all_poly_pegged', label: 'Pegged' }]),
  ];
  const rows = await rowsOf(database, attritionQuery(conditions), 'step', 'procedures');
  const left = rows.map((r) => `${conditions[Number(r.step)]?.label ?? 'kept'} ${r.procedures ?? ''}`);
  expect(left).toEqual([
    'Joint: Shoulder 1',
    'With a glenoid component 1',
    'Class: Anatomic total 1',
    'Sex: Women 1',
    'Age: 55 and over 1',
    'Fixation at the glenoid: Cemented 1',
    'Observed at some time within 10 years 1',
    'In a compared group: Keeled, Pegged 1',
    'kept 3',
  ]);
  await database.close();
});
