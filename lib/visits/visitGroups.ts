import type { AskedVisits } from './askedVisits';
import type { VisitGroup } from './visitsResult';

/** Who is in the groups. `codes` and `sizes`: procedures of each group, with and without visits. */
export function visitGroups({ groups, data: { procedures } }: AskedVisits, codes: Float64Array, sizes: Float64Array): readonly VisitGroup[] {
  const sides = groups.map(() => new Map<number, number>());
  procedures.patient.forEach((patient, p) => {
    const own = sides[procedures.group[p]!]!;
    own.set(patient, (own.get(patient) ?? 0) + 1);
  });
  return groups.map(({ code, key, label }, g) => {
    const own = [...sides[g]!.values()], count = own.reduce((sum, n) => sum + n, 0);
    return { key, label, procedures: count, patients: own.length, bothSides: own.filter((n) => n > 1).length, withoutVisits: (sizes[codes.indexOf(code)] ?? count) - count };
  });
}
