import { dateOf, dayOf } from '@/lib/contract/calendarDay';
import type { ExtractFile } from '@/lib/intake/extractFile';
import { randomSource } from '@/lib/screening/randomSource';
import { smallExtract } from '../engine/smallExtract';

const procedures = 800;

/** An invented registry of women and men, of whom men are revised more often. Identifiers begin as P0000, A0000, Hospital- and Surgeon-. */
export function smallRegistry(name: string, seed: number): readonly ExtractFile[] {
  const random = randomSource(seed), upTo = (n: number): number => Math.floor(random() * n), opened = dayOf('2005-01-01');
  const rows = Array.from({ length: procedures }, (_, i) => {
    const sex = random() < 0.4 ? 'male' : 'female', day = opened + upTo(3650);
    return { key: `P${1000 + i}`, patient: `A${1000 + i}`, sex, day, revised: random() < (sex === 'male' ? 0.2 : 0.12), age: 50 + upTo(40), after: 1 + upTo(2000) };
  });
  return smallExtract({
    registry: [{ name: `Registry ${name}`, closing_date: '2020-12-31' }],
    procedures: rows.map(({ key, patient, sex, day, age }) => ({ procedure_id: key, patient_id: patient, sex, age_years: age, procedure_date: dateOf(day), hospital_id: `Hospital-${upTo(9)}`, surgeon_id: `Surgeon-${upTo(30)}` })),
    components: rows.map(({ key }) => ({ procedure_id: key })),
    revisions: rows.filter(({ revised }) => revised).map(({ key, patient, day, after }, i) => ({ revision_id: `R${i}`, procedure_id: key, patient_id: patient, revision_date: dateOf(day + after) })),
  });
}
