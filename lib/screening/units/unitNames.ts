import { unitNamesQuery } from '../../cohort/unitNames';
import type { LoadedExtract } from '../../engine/loadedExtract';

/** Everyone that is recorded and can be chosen, in the order of identifiers. */
export interface UnitNames {
  readonly hospitals: readonly { readonly id: string; readonly region: string | null; readonly procedures: number }[];
  readonly surgeons: readonly { readonly id: string; readonly hospitals: readonly string[]; readonly procedures: number }[];
}

/** `procedures`: all of the extract, whatever the question. */
export async function unitNames({ database }: LoadedExtract): Promise<UnitNames> {
  const result = await database.query(unitNamesQuery);
  const hospital = result.texts('hospital'), region = result.texts('region'), surgeon = result.texts('surgeon'), procedures = result.numbers('procedures');
  const hospitals = new Map<string, { id: string; region: string | null; procedures: number }>();
  const surgeons = new Map<string, { id: string; hospitals: string[]; procedures: number }>();
  procedures.forEach((n, row) => {
    const place = hospital[row] ?? null, person = surgeon[row] ?? null;
    if (place !== null) {
      const at = hospitals.get(place) ?? { id: place, region: null, procedures: 0 };
      hospitals.set(place, { id: place, region: at.region ?? region[row]!, procedures: at.procedures + n });
    }
    if (person !== null) {
      const by = surgeons.get(person) ?? { id: person, hospitals: [], procedures: 0 };
      surgeons.set(person, { id: person, hospitals: place === null ? by.hospitals : [...by.hospitals, place], procedures: by.procedures + n });
    }
  });
  return { hospitals: [...hospitals.values()], surgeons: [...surgeons.values()].sort((a, b) => (a.id < b.id ? -1 : 1)) };
}
