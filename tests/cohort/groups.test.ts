import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { caseMixQuery } from './oracle/caseMix';
import { comparisonFactor } from '@/lib/cohort/comparison';
import { cohortConditions } from '@/lib/cohort/conditions';
import { codings, fixationCoding } from '@/lib/cohort/covariate';
import { groupSummariesQuery } from './oracle/groupSummaries';
import { levelsQuery } from '@/lib/cohort/levels';
import { Question } from '@/lib/contract/question';
import type { Database } from '@/lib/engine/database';
import { followupDatabase, rowsOf } from './followup';
import { calendarQuery } from './oracle/calendar';

// Two surgeons at one hospital use pegged components, one of them twice in the same patient; a third elsewhere uses keeled ones.
const rows = [
  { patient: 1, surgeon: 'S1', year: 2009, side: 'left', age: 54, bmi: 24.9 },
  { patient: 1, surgeon: 'S1', year: 2010, side: 'right', age: 55, bmi: 25 },
  { patient: 2, surgeon: 'S2', year: 2010, age: 65, sex: 'male', asa: 1, bmi: 30 },
  { patient: 3, surgeon: 'S3', hospital: 'H2', year: 2004, age: 75, asa: null, bmi: null, glenoid_design: 'all_poly_keeled', glenoid_model: 'G-20' },
  { patient: 4, glenoid_design: null, year: 2014 },
  { joint: 'hip', patient: 5 },
];
const question = (asked: object) => Question.parse(asked);
const conditionsOf = (q: Question) => cohortConditions(q.cohort, q.horizonYears);

describe('the groups of a comparison', () => {
  let database: Database;
  beforeAll(async () => {
    database = await followupDatabase(rows);
  });
  afterAll(() => database.close());

  it.each([
    { compare: 'design', levels: [['all_poly_pegged', 3], ['all_poly_keeled', 1]] },
    { compare: 'model', levels: [['G-10', 4], ['G-20', 1]] },
    { compare: 'material', levels: [['polyethylene_conventional', 5]] },
    { compare: 'proximal_fixation', levels: [['cemented', 5]] },
    { compare: 'distal_fixation', levels: [['uncemented', 5]] },
    { compare: 'class', levels: [['anatomic_total', 5]] },
    { compare: 'indication', levels: [['osteoarthritis', 5]] },
    { compare: 'sex', levels: [['female', 4], ['male', 1]] },
    { compare: 'period', levels: [['2010-2014', 3], ['2000-2004', 1], ['2005-2009', 1]] },
  ])('by $compare: largest first', async ({ compare, levels }) => {
    const q = question({ compare });
    const found = await rowsOf(database, levelsQuery(conditionsOf(q), comparisonFactor(q)), 'level_key', 'procedures');
    expect(found.map((r) => [r.level_key, r.procedures])).toEqual(levels);
  });

  it.each([
    { compare: 'model', groups: ['G-20'], levels: [['others', 4], ['G-20', 1]] },
    { compare: 'design', groups: ['all_poly_pegged'], levels: [['all_poly_pegged', 3], ['others', 1]] }, // the one without a recorded design is in neither
    { compare: 'period', groups: ['2004-2008', '2005-2009'], levels: [['others', 4], ['2005-2009', 1]] }, // of those named one does not occur
    { compare: 'model', groups: ["G-10' THEN 9 --", 'G-10'], levels: [['G-10', 4], ['others', 1]] },
    { compare: 'sex', groups: ['female', 'male'], levels: [['female', 4], ['male', 1]] }, // nobody is left
  ])('takes all levels together that are not named, by $compare: $groups', async ({ compare, groups, levels }) => {
    const q = question({ compare, groups, withOthers: true });
    const found = await rowsOf(database, levelsQuery(conditionsOf(q), comparisonFactor(q)), 'level_key', 'procedures');
    expect(found.map((r) => [r.level_key, r.procedures])).toEqual(levels);
    expect(comparisonFactor(q).labelOf('others')).toBe('All others');
  });

  it('counts procedures, patients, users and the largest user of each', async () => {
    const q = question({});
    const conditions = [...conditionsOf(q), { sql: '"glenoid_design" IS NOT NULL', params: [] }];
    const summaries = await rowsOf(database, groupSummariesQuery(conditions, comparisonFactor(q)),
      'code', 'procedures', 'patients', 'hospitals', 'surgeons', 'largest_hospital', 'largest_surgeon', 'first_year', 'last_year');
    expect(summaries).toEqual([
      { code: 0, procedures: 1, patients: 1, hospitals: 1, surgeons: 1, largest_hospital: 1, largest_surgeon: 1, first_year: 2004, last_year: 2004 },
      { code: 1, procedures: 3, patients: 2, hospitals: 1, surgeons: 2, largest_hospital: 3, largest_surgeon: 2, first_year: 2009, last_year: 2010 },
    ]);
  });

  it('sets the case mix side by side, not recorded being a level of its own', async () => {
    const q = question({});
    const characteristics = [codings.age, codings.sex, codings.asa, codings.bmi, fixationCoding('shoulder', 'proximal')];
    const conditions = [...conditionsOf(q), { sql: '"glenoid_design" IS NOT NULL', params: [] }];
    const mix = await rowsOf(database, caseMixQuery(conditions, comparisonFactor(q), characteristics), 'characteristic', 'level', 'code', 'procedures');
    const shown = mix.map((r) => {
      const coding = characteristics[Number(r.characteristic)]!;
      const level = Number.isNaN(r.level) ? 'not recorded' : coding.level(Number(r.level)).label;
      return `${coding.label}, ${level}, ${r.code === 0 ? 'keeled' : 'pegged'}: ${r.procedures ?? ''}`;
    });
    expect(shown).toEqual([
      'Age, Under 55 years, pegged: 1',
      'Age, 55–64 years, pegged: 1',
      'Age, 65–74 years, pegged: 1',
      'Age, 75 years and over, keeled: 1',
      'Sex, Women, keeled: 1',
      'Sex, Women, pegged: 2',
      'Sex, Men, pegged: 1',
      'ASA grade, ASA 1, pegged: 1',
      'ASA grade, ASA 2, pegged: 2',
      'ASA grade, not recorded, keeled: 1',
      'Body mass index, Under 25 kg/m², pegged: 1',
      'Body mass index, 25 to under 30 kg/m², pegged: 1',
      'Body mass index, 30 to under 35 kg/m², pegged: 1',
      'Body mass index, not recorded, keeled: 1',
      'Fixation at the glenoid, Cemented, keeled: 1',
      'Fixation at the glenoid, Cemented, pegged: 3',
    ]);
  });

  it('counts procedures per calendar year', async () => {
    const q = question({ compare: 'sex' });
    expect(await rowsOf(database, calendarQuery(conditionsOf(q), comparisonFactor(q)), 'code', 'year', 'procedures')).toEqual([
      { code: 0, year: 2004, procedures: 1 },
      { code: 0, year: 2009, procedures: 1 },
      { code: 0, year: 2010, procedures: 1 },
      { code: 1, year: 2010, procedures: 1 },
      { code: 0, year: 2014, procedures: 1 },
    ]);
  });
});
