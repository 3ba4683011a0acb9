import { afterAll, beforeAll, expect, it } from 'vitest';
import { procedureConditions } from '@/lib/cohort/conditions';
import { UnitsQuestion } from '@/lib/contract/unitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { unitSizes } from '@/lib/screening/units/unitSizes';
import { loadSample } from '../../analysis/sampleExtract';
import { unitSizesQuery } from '../../cohort/oracle/unitSizes';

let sample: LoadedExtract;
beforeAll(async () => { sample = await loadSample(); });
afterAll(() => sample.database.close());

it.each([
  ['hospital', {}], ['surgeon', {}], ['surgeon', { sexes: ['female'], minAge: 70, lastYear: 2012 }],
] as const)('what each %s does is what SQL counts: %j', async (kind, cohort) => {
  const question = UnitsQuestion.parse({ kind, cohort }), conditions = procedureConditions(question.cohort, question.horizonYears);
  const result = await sample.database.query(unitSizesQuery(conditions, kind)), id = result.texts('id'), column = (name: string) => [...result.numbers(name)];
  const sizes = await unitSizes(sample.database, conditions, kind), procedures = column('procedures'), years = column('active_years');
  expect(sizes.map(({ key }) => key)).toEqual(id);
  expect(sizes.map(({ code }) => code)).toEqual(column('code'));
  expect(sizes.map((unit) => unit.procedures)).toEqual(procedures);
  expect(sizes.map((unit) => unit.yearlyVolume)).toEqual(procedures.map((n, i) => n / years[i]!));
  expect(sizes.map(({ region }) => region ?? NaN)).toEqual(column('region'));
});
