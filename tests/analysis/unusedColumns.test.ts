import fc from 'fast-check';
import { expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { Analysis, CaseMix, NothingToShow } from '@/lib/analysis/result';
import { Question } from '@/lib/contract/question';
import { UnitsQuestion } from '@/lib/contract/unitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { loadExtract } from '@/lib/engine/loadExtract';
import { openNodeDatabase } from '@/lib/engine/node';
import { allUnits } from '@/lib/screening/units/allUnits';
import { csv, textFile } from '../engine/smallExtract';

// What a question does not use can be left out of the files without any of its numbers changing.

const day = (n: number): string => new Date(Date.UTC(2008, 0, 1) + n * 86_400_000).toISOString().slice(0, 10);
const of = <T>(values: readonly T[], i: number): T => values[i % values.length]!;
type Row = Readonly<Record<string, string | number | null>>;

/** 400 patients, every fifth with both shoulders; some die, some are lost, some are revised. */
const patients = Array.from({ length: 400 }, (_, i) => i);
const procedures: readonly Row[] = patients.flatMap((i) => (i % 5 === 0 ? ['left', 'right'] : [of(['left', 'right'], i)]).map((side, s) => ({
  procedure_id: `${i}${side}`, patient_id: `a${i}`, procedure_date: day(i * 5 + s * 200), joint: 'shoulder', side, class: of(['anatomic_total', 'anatomic_total', 'hemi'], i),
  indication: of(['osteoarthritis', 'osteoarthritis', 'osteonecrosis', 'other_indication'], i >> 1), age_years: 50 + (i * 7) % 37, sex: of(['female', 'male', 'female'], i >> 2),
  asa_grade: of([1, 2, 3, null], i), bmi: of([22, 27, null, 33], i >> 1), approach: of(['deltopectoral', null], i), proximal_fixation: 'cemented', distal_fixation: of(['cemented', 'uncemented'], i),
  hospital_id: `H${i % 7}`, surgeon_id: `S${i % 19}`, region: of(['north', 'south'], i % 7), follow_up_end: i % 11 === 0 ? day(i * 5 + 1500) : null,
})));
const components: readonly Row[] = procedures.flatMap((p, i) => [
  { procedure_id: p['procedure_id']!, role: 'glenoid', model_code: of(['G1', 'G2', 'G3'], i), design_class: of(['all_poly_pegged', 'all_poly_keeled', 'metal_backed'], i), material: of(['polyethylene_conventional', null], i), size: '2', lot: 'x' },
]);
const models: readonly Row[] = ['all_poly_pegged', 'all_poly_keeled', 'metal_backed'].map((design, i) => ({ model_code: `G${i + 1}`, maker_code: 'K', role: 'glenoid', design_class: design }));
const revisions: readonly Row[] = procedures.filter((_, i) => i % 6 === 0 || i % 17 === 0).map((p, i) => ({
  revision_id: `R${i}`, procedure_id: p['procedure_id']!, patient_id: p['patient_id']!, joint: 'shoulder', side: p['side']!, revision_date: day(Number((p['patient_id'] as string).slice(1)) * 5 + 400 + 13 * (i % 90)),
  kind: of(['major', 'minor'], i), reasons: of(['glenoid_loosening', 'infection', null], i), components_removed: of(['glenoid', null], i),
}));
const deaths: readonly Row[] = patients.filter((i) => i % 13 === 4).map((i) => ({ patient_id: `a${i}`, death_date: day(i * 5 + 2800) }));
const tables = { registry: [{}], procedures, components, models, revisions, deaths };

async function load(dropped: ReadonlySet<string>): Promise<LoadedExtract> {
  const files = Object.entries(tables).filter(([table]) => !dropped.has(table)).map(([table, rows]) => {
    const [header, ...lines] = csv(table as keyof typeof tables, rows).trimEnd().split('\n').map((line) => line.split(','));
    const kept = header!.map((name, i) => (dropped.has(`${table}.${name}`) ? -1 : i)).filter((i) => i >= 0);
    return textFile(`${table}.csv`, [header!, ...lines].map((cells) => kept.map((i) => cells[i] ?? '').join(',')).join('\n'));
  });
  const result = await loadExtract(openNodeDatabase, files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join('\n'));
  return result.extract;
}

interface Asked { readonly what: string; readonly ask: (extract: LoadedExtract) => Promise<unknown>; readonly needs: readonly string[] }

/** Numbers of the question; who used what and the case mix are about other columns, by which they are what is recorded. */
function numbersOf(answer: Analysis | NothingToShow, mix: readonly string[]): unknown {
  if (answer.status === 'empty') return answer;
  const { caseMix, groups, ...numbers } = answer;
  return {
    ...numbers, source: null, notes: null, caseMix: caseMix.filter(({ characteristic }: CaseMix) => mix.includes(characteristic)),
    groups: groups.map(({ key, procedures: n, events, competing, componentYears, medianFollowUpDays, firstYear, lastYear }) => ({ key, n, events, competing, componentYears, medianFollowUpDays, firstYear, lastYear })),
  };
}

const comparison = (given: object, needs: readonly string[], mix: readonly string[] = []): Asked => {
  const question = Question.parse({ largestStep: 0, ...given });
  return { what: JSON.stringify(given), needs, ask: async (extract) => numbersOf(await analyse(extract, question), mix) };
};

const patient = ['procedures.patient_id', 'deaths'], model = 'components.model_code', design = 'components.design_class';
const questions: readonly Asked[] = [
  comparison({ compare: 'design', cluster: 'none' }, [design, ...patient]),
  comparison({ compare: 'design', cluster: 'patient' }, [design, ...patient]),
  comparison({ compare: 'model', cluster: 'hospital', adjust: ['age', 'sex'] }, [model, ...patient, 'procedures.hospital_id', 'procedures.age_years', 'procedures.sex'], ['age', 'sex']),
  comparison({ compare: 'indication', cluster: 'surgeon', strata: ['region'], cohort: { sexes: ['female'], minAge: 55 } },
    [model, design, ...patient, 'procedures.indication', 'procedures.surgeon_id', 'procedures.region', 'procedures.sex', 'procedures.age_years'], ['indication']),
  comparison({ compare: 'class', cluster: 'none', adjust: ['asa', 'bmi'], outcome: { kinds: ['major'], reasons: ['glenoid_loosening'] } },
    [model, design, ...patient, 'procedures.class', 'procedures.asa_grade', 'procedures.bmi', 'revisions.reasons'], ['class', 'asa', 'bmi']),
  comparison({ compare: 'distal_fixation', cluster: 'none', outcome: { ofRoleOnly: true } }, [model, design, ...patient, 'procedures.distal_fixation', 'revisions.components_removed'], ['distal_fixation']),
  {
    what: 'hospitals', needs: [...patient, 'procedures.hospital_id', 'procedures.age_years'],
    ask: async (extract) => {
      const answer = await allUnits(extract, UnitsQuestion.parse({ adjust: ['age'], largestStep: 0 }));
      if (answer.status === 'empty') return answer;
      return { ...answer, source: null, notes: null };
    },
  },
];

/** Columns and tables that may be missing. A re-operation without patient, joint and side is linked by the procedure that it names. */
const optional = [
  ...['patient_id', 'side', 'class', 'indication', 'age_years', 'sex', 'asa_grade', 'bmi', 'approach', 'proximal_fixation', 'distal_fixation', 'hospital_id', 'surgeon_id', 'region']
    .map((name) => `procedures.${name}`),
  ...['model_code', 'design_class', 'material', 'size', 'lot'].map((name) => `components.${name}`),
  ...['revision_id', 'patient_id', 'joint', 'side', 'reasons', 'components_removed'].map((name) => `revisions.${name}`),
  'deaths', 'models',
];

/** A component is known by model or design; without a catalogue nothing else depends on it, but with one a design is known from the model. */
const stands = (dropped: ReadonlySet<string>): boolean => !(dropped.has('components.model_code') && dropped.has('components.design_class'));

it('without patients the numbers are those of as many patients as procedures', async () => {
  const asked = comparison({ compare: 'design', adjust: ['age'], cluster: 'patient' }, []);
  const nobody = await load(new Set(['procedures.patient_id', 'revisions.patient_id', 'deaths', 'procedures.side', 'revisions.side']));
  const alone = await loadExtract(openNodeDatabase, [
    textFile('procedures.csv', csv('procedures', procedures.map((p, i) => ({ ...p, patient_id: `alone-${i}` })))),
    textFile('revisions.csv', csv('revisions', revisions.map((r) => ({ ...r, patient_id: null })))),
    ...(['registry', 'components', 'models'] as const).map((table) => textFile(`${table}.csv`, csv(table, tables[table]))),
  ]);
  if (alone.status === 'refused') throw new Error(alone.problems[0]?.message);
  expect(await asked.ask(nobody)).toEqual(await asked.ask(alone.extract));
  for (const { database } of [nobody, alone.extract]) await database.close();
}, 60_000);

it('leaving out columns that a question does not use changes none of its numbers', async () => {
  const whole = await load(new Set()), expected = new Map<Asked, unknown>();
  for (const question of questions) {
    const answer = await question.ask(whole);
    expect(answer).toMatchObject({ status: 'ok' });
    expected.set(question, answer);
  }
  await whole.database.close();
  await fc.assert(fc.asyncProperty(fc.constantFrom(...questions), fc.subarray(optional), async (question, subset) => {
    const dropped = new Set(subset.filter((column) => !question.needs.includes(column)));
    fc.pre(stands(dropped));
    const extract = await load(dropped);
    expect(await question.ask(extract)).toEqual(expected.get(question));
    await extract.database.close();
  }), { numRuns: 25 });
}, 300_000);
