import type { CohortToModel } from '../../analysis/askedModel';
import { cellsAt } from '../../analysis/cellsWhere';
import type { CohortCells } from '../../analysis/cohortCells';
import type { NotEstimable } from '../../stats/cells';
import { indexesByGroup } from '../../stats/subset';

// Whether what is found may be the hospitals' and not the implant's. Hospitals are the clusters of the cells, so that nothing is counted anew.

const noWay = (reason: string): NotEstimable => ({ status: 'notEstimable', reason });
const noHospital = noWay('No hospital is recorded.');

/** Only procedures of one hospital are compared with each other, whatever its own results: each hospital has a baseline hazard of its own. */
export function withinHospitals(asked: CohortToModel): CohortToModel | NotEstimable {
  const { cells: { cluster } } = asked.cohort;
  if (cluster === undefined) return noHospital;
  const cohort = cellsAt(asked.cohort, inOrder(cellsOfHospitals(cluster))); // cells of one pattern and hospital follow each other, and can be joined
  return { ...asked, cohort: { ...cohort, cells: { ...cohort.cells, stratum: cohort.cells.cluster! } } };
}

/** Tells a component from the hospital that uses it most. */
export function withoutLargestUsers(asked: CohortToModel): CohortToModel | NotEstimable {
  const { cohort, groups } = asked, { cells: { cluster } } = cohort;
  if (cluster === undefined) return noHospital;
  const largest = largestUsers(cohort, cluster, groups.length), kept = new Int32Array(cluster.length);
  let others = 0;
  for (let i = 0; i < cluster.length; ++i) if (!largest.has(cluster[i]!)) kept[others++] = i;
  if (others === cluster.length) return noWay('Nobody is left out.');
  const left = cellsAt(cohort, kept.subarray(0, others)), reference = groups.findIndex(({ key }) => key === asked.reference), { label } = groups[reference]!;
  if (!left.group.includes(reference)) return noWay(`Nobody of the reference group, ${label}, is left.`);
  if (left.group.every((g) => g === reference)) return noWay(`Nobody but the reference group, ${label}, is left.`);
  return { ...asked, cohort: left };
}

/** The hospital with most procedures of each group; of several the first. */
function largestUsers({ cells: { count }, group }: CohortCells, cluster: Int32Array, groups: number): ReadonlySet<number> {
  const procedures = Array.from({ length: groups }, () => new Float64Array(hospitalsIn(cluster)));
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! >= 0) procedures[group[i]!]![cluster[i]!]! += count[i]!;
  return new Set(procedures.map((ofHospital) => ofHospital.indexOf(Math.max(...ofHospital))).filter((hospital, g) => procedures[g]![hospital]! > 0));
}

function hospitalsIn(cluster: Int32Array): number {
  let hospitals = 0;
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! >= hospitals) hospitals = cluster[i]! + 1;
  return hospitals;
}

const cellsOfHospitals = (cluster: Int32Array): readonly Int32Array[] => indexesByGroup(cluster, hospitalsIn(cluster));

function inOrder(parts: readonly Int32Array[]): Int32Array {
  const all = new Int32Array(parts.reduce((sum, { length }) => sum + length, 0));
  let length = 0;
  for (const part of parts) {
    all.set(part, length);
    length += part.length;
  }
  return all;
}
