import type { Question } from '../../contract/question';
import type { Positions } from '../../engine/columns';
import type { CohortRows } from './cohortRows';

/** Per row its position, and per position its cluster; -1: one of its own. */
export interface Clusters { readonly positions: Positions; readonly numbers: Int32Array }

/**
 * The clusters of the rows of the cohort. Patients with several procedures in the cohort are numbered in their order; hospitals and
 * surgeons are clusters as they are. Undefined where nobody is in a cluster.
 */
export async function clustersOfRows({ columns, levels }: CohortRows, cluster: Question['cluster']): Promise<Clusters | undefined> {
  if (cluster === 'none') return undefined;
  const { positions, occurs } = await columns.column(cluster);
  if (cluster !== 'patient') return { positions, numbers: Int32Array.from(occurs, (_, position) => position - 1) };
  const procedures = new Uint8Array(occurs.length); // more than 2 are as good as 2
  for (let row = 0; row < levels.length; ++row) if (levels[row]! > 0 && procedures[positions[row]!]! < 2) procedures[positions[row]!]! += 1;
  const numbers = new Int32Array(occurs.length).fill(-1);
  let several = 0;
  for (let position = 0; position < numbers.length; ++position) if (procedures[position] === 2) numbers[position] = several++;
  return { positions, numbers };
}
