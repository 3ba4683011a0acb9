import { describe, expect, it } from 'vitest';
import { cohortConditions } from '@/lib/cohort/conditions';
import { allOf } from '@/lib/cohort/sql';
import { Cohort } from '@/lib/contract/question';

describe('which procedures count', () => {
  it('asks only for the joint, the component and some time under observation when nothing is restricted', () => {
    expect(cohortConditions(Cohort.parse({}), 10)).toMatchObject([
      { label: 'Joint: Shoulder', sql: '"joint" IN (?)', params: ['shoulder'] },
      { label: 'With a glenoid component', sql: '("glenoid_model" IS NOT NULL OR "glenoid_design" IS NOT NULL)', params: [] },
      { label: 'Observed at some time within 10 years', sql: '(entry_day IS NULL OR (entry_day < exit_day AND entry_day < ?))', params: [3653] },
    ]);
  });

  it('restricts in reading order and binds every value', () => {
    const cohort = Cohort.parse({
      joint: 'hip', role: 'femoral_stem', classes: ['total_hip'], indications: ['osteoarthritis', 'dysplasia'], sexes: ['female'],
      minAge: 55, maxAge: 74, firstYear: 2005, lastYear: 2015, proximalFixations: ['cemented'], distalFixations: ['uncemented'],
      designs: ['short_stem'], models: ["F-1'; DROP TABLE followup; --"],
    });
    const conditions = cohortConditions(cohort, 1);
    expect(conditions.map((c) => c.label)).toEqual([
      'Joint: Hip', 'With a femoral stem', 'Class: Total hip', 'Indication: Osteoarthritis, Dysplasia', 'Sex: Women', 'Age: 55–74',
      'Year: 2005–2015', 'Fixation at the acetabulum: Cemented', 'Fixation at the femur: Uncemented', 'Design class: Short stem',
      "Model: F-1'; DROP TABLE followup; --", 'Observed at some time within 1 year',
    ]);
    expect(allOf(conditions)).toEqual({
      sql: '"joint" IN (?) AND ("femoral_stem_model" IS NOT NULL OR "femoral_stem_design" IS NOT NULL) AND "class" IN (?) AND "indication" IN (?, ?) AND "sex" IN (?) '
        + 'AND "age" BETWEEN ? AND ? AND "year" BETWEEN ? AND ? AND "proximal_fixation" IN (?) AND "distal_fixation" IN (?) '
        + 'AND "femoral_stem_design" IN (?) AND "femoral_stem_model" IN (?) AND (entry_day IS NULL OR (entry_day < exit_day AND entry_day < ?))',
      params: [
        'hip', 'total_hip', 'osteoarthritis', 'dysplasia', 'female', 55, 74, 2005, 2015, 'cemented', 'uncemented', 'short_stem',
        "F-1'; DROP TABLE followup; --", 365,
      ],
    });
  });

  it('leaves out models, one by name and several', () => {
    expect(cohortConditions(Cohort.parse({ exceptModels: ['G-10'] }), 10)[2])
      .toMatchObject({ label: 'Without model G-10', sql: 'NOT ("glenoid_model" IN (?))', params: ['G-10'] });
    expect(cohortConditions(Cohort.parse({ models: ['G-20'], exceptModels: ['G-10', 'G-30'] }), 10).slice(2, 4).map((c) => c.label))
      .toEqual(['Model: G-20', 'Without models G-10, G-30']);
  });

  it.each([
    { bounds: { minAge: 80 }, label: 'Age: 80 and over', sql: '"age" >= ?', params: [80] },
    { bounds: { maxAge: 54 }, label: 'Age: up to 54', sql: '"age" <= ?', params: [54] },
    { bounds: { firstYear: 2010 }, label: 'Year: 2010 and later', sql: '"year" >= ?', params: [2010] },
    { bounds: { lastYear: 2010 }, label: 'Year: up to 2010', sql: '"year" <= ?', params: [2010] },
  ])('leaves one end open: $label', ({ bounds, ...condition }) => {
    expect(cohortConditions(Cohort.parse(bounds), 10)[2]).toMatchObject(condition);
  });

  it('is true where there is no condition', () => {
    expect(allOf([])).toEqual({ sql: 'true', params: [] });
  });
});
