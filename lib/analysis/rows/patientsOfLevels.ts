import type { CohortRows } from './cohortRows';

/** Patients with a procedure at each of these levels, by their codes. */
export async function patientsOfLevels({ columns, levels, counts }: CohortRows, codes: readonly number[]): Promise<Float64Array> {
  const { positions, occurs } = await columns.column('patient'), patients = new Float64Array(codes.length);
  const placeOf = Int32Array.from(counts, (_, level) => codes.indexOf(level - 2)), seen = new Uint8Array(occurs.length * Math.ceil(codes.length / 8)); // a bit for each patient and level
  for (let row = 0; row < levels.length; ++row) {
    const place = placeOf[levels[row]!]!;
    if (place < 0) continue;
    const at = (place >> 3) * occurs.length + positions[row]!, bit = 1 << (place & 7);
    if ((seen[at]! & bit) !== 0) continue;
    seen[at]! |= bit;
    patients[place]! += 1;
  }
  return patients;
}
