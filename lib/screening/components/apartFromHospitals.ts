import type { CohortToModel } from '../../analysis/askedModel';
import { cellsAt } from '../../analysis/cellsWhere';
import type { CohortCells } from '../../analysis/cohortCells';
import type { NotEstimable } from '../../stats/cells';

// Whether what is found may be the hospitals' and not the implant's. Hospitals are the clusters of the cells, so that nothing is counted anew.

const noWay = (reason: string): NotEstimable => ({ status: 'notEstimable', reason });
const noHospital = noWay('No hospital is recorded.');

/** Only procedures of one hospital are compared with each other, whatever its own results: each hospital has a baseline hazard of its own. */
export function withinHospitals(asked: CohortToModel): CohortToModel | NotEstimable {
  const { cells: { cluster } } = asked.cohort;
  if (cluster === undefined) return noHospital;
  const kept = new Int32Array(cluster.length), recorded = keepRecorded(kept, cluster), cohort = recorded === cluster.length ? asked.cohort : cellsAt(asked.cohort, kept.subarray(0, recorded));
  return { ...asked, cohort: { ...cohort, cells: { ...cohort.cells, stratum: cohort.cells.cluster! } } };
}

/** Tells a component from the hospital that uses it most. */
export function withoutLargestUsers(asked: CohortToModel): CohortToModel | NotEstimable {
  const { cohort, groups } = asked, { cells: { cluster } } = cohort;
  if (cluster === undefined) return noHospital;
  const largest = largestUsers(cohort, cluster, groups.length), kept = new Int32Array(cluster.length);
  const others = keepOthers(kept, cluster, largest);
  if (others === cluster.length) return noWay('Nobody is left out.');
  const left = cellsAt(cohort, kept.subarray(0, others)), reference = groups.findIndex(({ key }) => key === asked.reference), { label } = groups[reference]!;
  if (!left.group.includes(reference)) return noWay(`Nobody of the reference group, ${label}, is left.`);
  if (left.group.every((g) => g === reference)) return noWay(`Nobody but the reference group, ${label}, is left.`);
  return { ...asked, cohort: left };
}

function keepRecorded(kept: Int32Array, cluster: Int32Array): number {
  let recorded = 0;
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! >= 0) kept[recorded++] = i;
  return recorded;
}

function keepOthers(kept: Int32Array, cluster: Int32Array, largest: Uint8Array): number {
  let others = 0;
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! < 0 || largest[cluster[i]!] === 0) kept[others++] = i;
  return others;
}

/** Per hospital: 1: it has most procedures of a group; of several the first. */
function largestUsers({ cells: { count }, group }: CohortCells, cluster: Int32Array, groups: number): Uint8Array {
  const hospitals = hospitalsIn(cluster), procedures = new Float64Array(groups * hospitals), largest = new Uint8Array(hospitals);
  addProcedures(procedures, group, cluster, count, hospitals);
  for (let g = 0; g < groups; ++g) {
    const ofHospital = procedures.subarray(g * hospitals, (g + 1) * hospitals), most = Math.max(...ofHospital);
    if (most > 0) largest[ofHospital.indexOf(most)] = 1;
  }
  return largest;
}

function addProcedures(procedures: Float64Array, group: Int32Array, cluster: Int32Array, count: Float64Array, hospitals: number): void {
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! >= 0) procedures[group[i]! * hospitals + cluster[i]!]! += count[i]!;
}

function hospitalsIn(cluster: Int32Array): number {
  let hospitals = 0;
  for (let i = 0; i < cluster.length; ++i) if (cluster[i]! >= hospitals) hospitals = cluster[i]! + 1;
  return hospitals;
}
