import type { Positions } from '../../engine/columns';
import { integersUsedAgain } from '../../stats/usedAgain';
import { rowsAtOnce } from './addends';
import { cellList, type CountedCells, type CountTable } from './cellList';
import type { Clusters } from './clustersOfRows';
import type { CountPlaces } from './countPlaces';
import { rowList } from './rowList';

const tableAgain = integersUsedAgain();

/**
 * Counts alike rows. Those that have a place in the table of counts and are in no cluster are counted there; the others are sorted. Cells come by pattern,
 * entry (first those from the start), cluster, exit and outcome.
 * @param counted by row of `followup`; 0: not counted
 * @param clusters undefined: nobody is in one
 */
export function countCells(counted: Positions, { numbers, ends: { bits, end, above, late }, places, inTable }: CountPlaces, clusters?: Clusters): CountedCells {
  const table = tableAgain(inTable.length * above).fill(0), sorted = rowList();
  eachUnplaced(table, counted, places, clusters ?? null, (row) => {
    sorted.push(numbers[row]!, late === null ? 0 : late[row]!, clusters === undefined ? 0 : clusters.numbers[clusters.positions[row]!]! + 1, end[row]!);
  });
  const tables: CountTable[] = inTable.map((pattern, t) => ({ pattern, counts: table.subarray(t * above, (t + 1) * above) })).sort((a, b) => a.pattern - b.pattern);
  return cellList(tables, sorted, { bits, late: late !== null, clusters: clusters !== undefined });
}

function eachUnplaced(table: Int32Array, counted: Positions, places: CountPlaces['places'], clusters: Clusters | null, visit: (row: number) => void): void {
  const counts = new Int32Array(rowsAtOnce), others = new Int32Array(rowsAtOnce);
  for (let from = 0; from < counted.length; from += rowsAtOnce) {
    const rows = Math.min(counted.length - from, rowsAtOnce);
    counts.set(counted.subarray(from, from + rows)); // into one kind of array, for one fast loop
    const some = places(from, rows);
    const unplaced = clusters === null ? count(table, counts, some, others) : countOutside(table, counts, some, others, clusters.positions, clusters.numbers, from);
    for (let i = 0; i < unplaced; ++i) visit(from + others[i]!);
  }
}

/** Fills in the rows that are counted and have no place, and returns how many there are. */
function count(table: Int32Array, counts: Int32Array, places: Int32Array, others: Int32Array): number {
  let unplaced = 0;
  for (let i = 0; i < places.length; ++i) {
    if (counts[i] === 0) continue;
    const place = places[i]!;
    if (place >= 0) table[place]! += 1;
    else others[unplaced++] = i;
  }
  return unplaced;
}

/** The same, and those in a cluster are among the others. */
function countOutside(table: Int32Array, counts: Int32Array, places: Int32Array, others: Int32Array, clusters: Positions, numbers: Int32Array, from: number): number {
  let unplaced = 0;
  for (let i = 0; i < places.length; ++i) {
    if (counts[i] === 0) continue;
    const place = places[i]!;
    if (place >= 0 && numbers[clusters[from + i]!]! < 0) table[place]! += 1;
    else others[unplaced++] = i;
  }
  return unplaced;
}
