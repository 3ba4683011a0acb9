import type { Positions } from '../../engine/columns';
import { integersUsedAgain } from '../../stats/usedAgain';
import { rowsAtOnce } from './addends';
import { cellList, type CountedCells, type CountTable } from './cellList';
import type { Clusters } from './clustersOfRows';
import type { EndsOfFollowUp } from './endsOfFollowUp';
import { rowList, type RowList } from './rowList';

/** What tells the cells of a cohort apart. Everything is by row of `followup`. */
export interface CellParts {
  /** 0: not counted. */
  readonly counted: Positions;
  /** The pattern, from 0 to `patterns` − 1. */
  readonly numbers: Positions;
  readonly patterns: number;
  readonly ends: EndsOfFollowUp;
  /** Absent: nobody is in a cluster. */
  readonly clusters?: Clusters;
}

const tableAgain = integersUsedAgain();

/**
 * Counts alike rows. Those at risk from the start and in no cluster are counted in a table with a place for every end of follow-up of the large patterns;
 * the others are sorted. Cells come by pattern, entry (first those from the start), cluster, exit and outcome.
 */
export function countCells({ counted, numbers, patterns, ends: { bits, end, above, late }, clusters }: CellParts): CountedCells {
  const { places, inTable } = tablesOf(counted, numbers, patterns, above), table = tableAgain(inTable.length * above).fill(0), sorted = rowList(), clusterOf = clusters?.numbers ?? Int32Array.of(-1);
  const counts = new Int32Array(rowsAtOnce), number = new Int32Array(rowsAtOnce), ending = new Int32Array(rowsAtOnce), entering = new Int32Array(rowsAtOnce), cluster = new Int32Array(rowsAtOnce);
  for (let from = 0; from < counted.length; from += rowsAtOnce) {
    const to = Math.min(counted.length, from + rowsAtOnce);
    counts.set(counted.subarray(from, to)); // into one kind of array, for one fast loop
    number.set(numbers.subarray(from, to));
    ending.set(end.subarray(from, to));
    if (late !== null) entering.set(late.subarray(from, to));
    if (clusters !== undefined) cluster.set(clusters.positions.subarray(from, to));
    place(table, sorted, to - from, counts, number, entering, cluster, ending, places, clusterOf);
  }
  const tables: CountTable[] = inTable.map((pattern, t) => ({ pattern, counts: table.subarray(t * above, (t + 1) * above) })).sort((a, b) => a.pattern - b.pattern);
  return cellList(tables, sorted, { bits, late: late !== null, clusters: clusters !== undefined });
}

function place(
  table: Int32Array, sorted: RowList, rows: number, counts: Int32Array, number: Int32Array, entering: Int32Array, cluster: Int32Array, ending: Int32Array, places: Int32Array, clusterOf: Int32Array,
): void {
  for (let i = 0; i < rows; ++i) {
    if (counts[i] === 0) continue;
    const at = places[number[i]!]!, of = clusterOf[cluster[i]!]!;
    if (at >= 0 && entering[i] === 0 && of < 0) table[at + ending[i]!]! += 1;
    else sorted.push(number[i]!, entering[i]!, of + 1, ending[i]!);
  }
}

const mostPlaces = 2 ** 22; // 16 MB of counts
const placesToRow = 64; // with more places than this for each of its rows, a table takes longer to read than the rows to sort

interface Tables { readonly places: Int32Array; readonly inTable: readonly number[] }

/** The patterns with a table, and per pattern where its counts are in the tables; -1: not there. All have one where they are few beside the rows, else the largest. */
function tablesOf(counted: Positions, numbers: Positions, patterns: number, above: number): Tables {
  if (patterns * above <= Math.min(counted.length, mostPlaces)) return { places: Int32Array.from({ length: patterns }, (_, number) => number * above), inTable: Array.from({ length: patterns }, (_, number) => number) };
  const rows = new Int32Array(patterns), places = new Int32Array(patterns).fill(-1);
  for (let row = 0; row < counted.length; ++row) if (counted[row]! > 0) rows[numbers[row]!]! += 1;
  const large = [...rows.keys()].filter((number) => rows[number]! * placesToRow >= above).sort((a, b) => rows[b]! - rows[a]!).slice(0, Math.floor(mostPlaces / above));
  large.forEach((number, t) => { places[number] = t * above; });
  return { places, inTable: large };
}
