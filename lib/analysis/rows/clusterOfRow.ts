import type { Question } from '../../contract/question';
import type { CohortRows } from './cohortRows';

/**
 * The cluster of a row of the cohort; -1: one of its own. Patients with several procedures in the cohort are numbered in their order; hospitals and
 * surgeons are clusters as they are. Undefined where nobody is in a cluster.
 */
export async function clusterOfRow({ columns, levels }: CohortRows, cluster: Question['cluster']): Promise<((row: number) => number) | undefined> {
  if (cluster === 'none') return undefined;
  const { positions, occurs } = await columns.column(cluster);
  if (cluster !== 'patient') return (row) => positions[row]! - 1;
  const procedures = new Uint8Array(occurs.length); // more than 2 are as good as 2
  for (let row = 0; row < levels.length; ++row) if (levels[row]! > 0 && procedures[positions[row]!]! < 2) procedures[positions[row]!]! += 1;
  const numbers = new Int32Array(occurs.length).fill(-1);
  let several = 0;
  for (let position = 0; position < numbers.length; ++position) if (procedures[position] === 2) numbers[position] = several++;
  return (row) => numbers[positions[row]!]!;
}
