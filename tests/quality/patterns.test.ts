import { beforeAll, describe, expect, it } from 'vitest';
import { quality } from '@/lib/quality/quality';
import type { QualityResult } from '@/lib/quality/qualityResult';
import { ratioOf } from '@/lib/quality/followUp/reportingLag';
import { changeBetween } from '@/lib/quality/patterns/drift';
import { completenessIndex } from '@/lib/quality/followUp/lostFollowUp';
import { load, sampleTables, type Cells } from './altered';

// What is planted here is invented. Each rule must find its own, and in the sample as it is none but those that are there.
const asked = ({ patterns }: QualityResult) => patterns.filter((pattern) => pattern.asked).map(({ id }) => id);

let result: QualityResult;
beforeAll(async () => {
  const tables = sampleTables(), { procedures, revisions, deaths, components, followups } = tables, first = new Map<string, Cells>();
  const plain = procedures.filter((p) => !revisions.some((r) => r['patient_id'] === p['patient_id']) && p['follow_up_start'] === '' && p['follow_up_end'] === '');
  for (const p of plain.slice(2000, 3000)) p['procedure_date'] = `${p['procedure_date']!.slice(0, 8)}01`; // days that were not known
  for (const p of procedures.slice(20_000, 23_000)) if (Number(p['age_years']) < 110) p['age_years'] = String(5 * Math.round(Number(p['age_years']) / 5));
  for (const p of procedures.slice(24_000, 26_500)) if (p['bmi'] !== '') p['bmi'] = String(Math.round(Number(p['bmi'])));
  const quiet = 'H044', own = new Set(procedures.filter((p) => p['hospital_id'] === quiet).map((p) => p['procedure_id']));
  tables.revisions = revisions.filter((r) => r['procedure_id'] !== '' && !own.has(r['procedure_id']));
  for (const p of procedures) {
    const before = first.get(p['patient_id']!);
    if (before === undefined) first.set(p['patient_id']!, p);
    else if (first.size % 97 === 0) {
      p['sex'] = before['sex'] === 'male' ? 'female' : 'male';
      p['age_years'] = String(Math.max(20, Number(p['age_years']) - 15));
    }
  }
  for (const [i, p] of procedures.slice(10_000, 10_010).entries()) Object.assign(p, { surgeon_id: 'S9999', hospital_id: `H00${i + 1 > 9 ? 1 : i + 1}`, procedure_date: '2015-06-03' });
  for (const v of followups.filter((v) => v['visit_date'] !== '' && v['visit'] === '1y').slice(0, 150)) {
    const patient = procedures.find((p) => p['procedure_id'] === v['procedure_id'])!['patient_id']!;
    if (!deaths.some((d) => d['patient_id'] === patient) && !revisions.some((r) => r['patient_id'] === patient)) deaths.push({ patient_id: patient, death_date: v['visit_date']! });
  }
  const model = components.find((c) => c['role'] === 'glenoid')!['model_code'];
  for (const m of tables.models) if (m['model_code'] === model) m['first_used'] = '2012-01-01';
  for (const p of procedures) if (p['procedure_date']!.startsWith('2020')) p['approach'] = Number(p['procedure_id']!.slice(1)) % 4 === 0 ? 'other_approach' : p['approach']!;
  const extract = await load(tables);
  result = await quality(extract);
  await extract.database.close();
}, 120_000);

describe('what was planted in the sample', () => {
  it.each([
    ['days that were not known, entered as the first of the month', 'procedures-first-of-month'], ['ages rounded to fives', 'age-digits'], ['body mass index rounded', 'bmi-digits'],
    ['a hospital whose revisions are not reported', 'hospital-without-revision'], ['one pseudonym for two people, by sex', 'sex-disagrees'], ['and by age', 'age-disagrees'],
    ['one code for several surgeons, by hospitals', 'surgeon-hospitals'], ['and by a day', 'surgeon-day'], ['a model before its first use', 'before-first-use'], ['deaths taken for visits', 'death-after-visit'],
  ])('%s', (_, id) => {
    expect(asked(result)).toContain(id);
  });

  it('and names where', () => {
    const parts = (id: string) => result.patterns.find((pattern) => pattern.id === id)!.parts;
    expect(parts('hospital-without-revision').map(({ label, count }) => [label, count])).toEqual([['H044', 0]]);
    expect(parts('surgeon-hospitals').map(({ label }) => label)).toEqual(['S9999']);
    expect(parts('before-first-use')[0]?.label).toBe('G-KEL-02');
    expect(result.drift.changes.filter(({ field, year, code }) => field === 'approach' && code === 'Other' && year === 2020)).toHaveLength(1);
  });

  it('and asks about nothing that was not planted', () => {
    expect(asked(result)).not.toEqual(expect.arrayContaining(['procedures-weekend']));
    for (const id of ['procedures-weekday', 'deaths-first-of-month', 'revisions-first-of-month', 'many-procedures']) expect(asked(result), id).not.toContain(id);
  });
});

// By hand. A hundred people over three years, events and losses in mid-year: 10, 5 and 5 events, 40 lost in the first year.
// Observed 75 + 47.5 + 42.5 = 165 years; possible 25 of those with an event and 3 × 80 of the others.
it('index of completeness: Clark, Altman & De Stavola 2002, worked by hand', () => {
  expect(completenessIndex({ observed: 165, potential: 265 })).toBeCloseTo(62.264150943396, 10);
});

it('χ² of two years, by hand: 60 and 40 of 100 against 40 and 60 give 8 on 1 degree of freedom', () => {
  const found = changeBetween(new Map([['a', 60], ['b', 40]]), new Map([['a', 40], ['b', 60]]))!;
  expect(found.p).toBeCloseTo(0.004677735, 8); // R: pchisq(8, 1, lower.tail = FALSE)
  expect(changeBetween(new Map([['a', 30]]), new Map([['a', 60]]))).toBeNull(); // too few to compare
});

it('a month beside the year before: 10 against 20, where as many are usual', () => {
  const { ratio, lower, upper, p, few } = ratioOf(10, 20, 1);
  expect(ratio).toBe(0.5);
  expect([lower, upper]).toEqual([expect.closeTo(0.209005965, 8), expect.closeTo(1.119183044, 8)]); // R: binom.test(10, 30)
  expect(p).toBeCloseTo(0.0493685, 6); // R: pbinom(10, 30, 0.5)
  expect(few).toBe(false);
});
