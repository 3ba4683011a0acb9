import type { Coded, Columns, Positions } from '../../engine/columns';
import { eachBlock, rowsAtOnce, type Addend } from './addends';
import { cellList, type CountedCells } from './cellList';
import { rowList } from './rowList';

/** What tells the cells of a cohort apart, besides entry. */
export interface CellParts {
  /** Their sum is the number of a row's pattern, negative where it is left out; `patterns` is above every one. */
  readonly patterns: { readonly addends: readonly Addend[]; readonly count: number };
  /** What ended follow-up within the horizon, a whole number from 0 to 3. */
  readonly outcome: Coded;
  /** In days; later exits are censored (outcome 0) there. */
  readonly horizon: number;
  /** The cluster of the row at this place; -1: one of its own. Absent: nobody is in a cluster. */
  readonly clusterOf?: (row: number) => number;
}

const mostInTable = 2 ** 23; // 32 MB of counts

/**
 * Counts alike rows in one pass. Those at risk from the start and in no cluster are counted in a table with a place for every pattern, day and outcome where
 * it is small enough; the others are sorted. Cells come by pattern, entry (first those from the start), exit, outcome and cluster.
 */
export async function countCells(columns: Columns, { patterns, outcome, horizon, clusterOf }: CellParts): Promise<CountedCells> {
  const exits = await columns.column('exit_day'), entries = await columns.column('entry_day');
  const days = Math.min(horizon, Math.max(0, exits.occurs.length - 2)) + 1, anyLate = entries.occurs.length > 1;
  const ends = 4 * days, table = patterns.count * ends <= mostInTable ? new Int32Array(patterns.count * ends) : null;
  const outcomes = Uint8Array.from(outcome.values, (value) => value || 0);
  const sorted = rowList(), block = new Int32Array(rowsAtOnce);
  const { positions: exit } = exits, { positions: entry } = entries, { positions: ended } = outcome;
  eachBlock(exit.length, patterns.addends, (sums, from) => {
    endsOf(exit, ended, from, horizon, outcomes, block, sums.length);
    for (let i = 0; i < sums.length; ++i) {
      const pattern = sums[i]!;
      if (pattern < 0) continue;
      const late = anyLate ? entry[from + i]! : 0, cluster = clusterOf === undefined ? -1 : clusterOf(from + i);
      if (table !== null && late === 0 && cluster < 0) table[pattern * ends + block[i]!]! += 1;
      else sorted.push(pattern, late, block[i]!, cluster + 1);
    }
  });
  return cellList(table, ends, sorted);
}

/** Exit up to the horizon and outcome as one number for a block of rows: 4 × days + outcome. */
function endsOf(exit: Positions, ended: Positions, from: number, horizon: number, outcomes: Uint8Array, into: Int32Array, rows: number): void {
  for (let i = 0; i < rows; ++i) {
    const day = exit[from + i]! - 1;
    into[i] = day > horizon ? 4 * horizon : 4 * day + outcomes[ended[from + i]!]!;
  }
}
