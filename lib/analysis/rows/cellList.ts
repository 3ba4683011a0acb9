import type { RowList, SortedRows } from './rowList';

/** Cells in the order of these columns, with what they count. */
export interface CountedCells {
  readonly pattern: Int32Array;
  readonly entry: Float64Array | null; // -Infinity: at risk from the start; null: all are
  readonly exit: Float64Array;
  readonly outcome: Uint8Array;
  readonly cluster: Int32Array | null; // -1: each procedure of the cell is one of its own; null: of every cell
  readonly procedures: Float64Array;
}

/** How many rows of a pattern, at risk from the start and each a cluster of its own, have each end of follow-up (see `EndsOfFollowUp`). */
export interface CountTable { readonly pattern: number; readonly counts: Int32Array }

/** The cells of tables, patterns ascending, and of rows that are not in them. */
export function cellList(tables: readonly CountTable[], rows: RowList, has: { readonly bits: number; readonly late: boolean; readonly clusters: boolean }): CountedCells {
  const sorted = rows.sorted(), { order } = sorted, most = order.length + tables.reduce((sum, { counts }) => sum + above0(counts), 0);
  const cells = {
    pattern: new Int32Array(most), entry: has.late ? new Float64Array(most).fill(-Infinity) : null, exit: new Float64Array(most),
    outcome: new Uint8Array(most), cluster: has.clusters ? new Int32Array(most).fill(-1) : null, procedures: new Float64Array(most),
  };
  let length = 0, next = 0;
  for (const table of tables) {
    const below = firstOf(table.pattern, sorted, next);
    length = addTable(cells, addRows(cells, length, sorted, has.bits, next, below), table, has.bits);
    next = below;
  }
  length = addRows(cells, length, sorted, has.bits, next, order.length);
  return {
    pattern: cells.pattern.subarray(0, length), entry: cells.entry?.subarray(0, length) ?? null, exit: cells.exit.subarray(0, length),
    outcome: cells.outcome.subarray(0, length), cluster: cells.cluster?.subarray(0, length) ?? null, procedures: cells.procedures.subarray(0, length),
  };
}

/** The first place from `from` on of a row with this pattern or a higher one. */
function firstOf(least: number, { order, pattern }: SortedRows, from: number): number {
  let next = from;
  while (next < order.length && pattern[order[next]!]! < least) next++;
  return next;
}

/** Adds the cells of the rows at the places from `from` to before `to` after so many; returns how many there are then. */
function addRows(cells: CountedCells, after: number, { order, pattern, late, end, cluster }: SortedRows, bits: number, from: number, to: number): number {
  const outcomes = 2 ** bits - 1;
  let length = after;
  for (let next = from, before = -1; next < to; ++next) {
    const row = order[next]!;
    if (before >= 0 && end[before] === end[row] && cluster[before] === cluster[row] && late[before] === late[row] && pattern[before] === pattern[row]) {
      cells.procedures[length - 1]! += 1;
      continue;
    }
    before = row;
    cells.pattern[length] = pattern[row]!;
    if (cells.entry !== null && late[row]! > 0) cells.entry[length] = late[row]! - 1;
    cells.exit[length] = end[row]! >> bits;
    cells.outcome[length] = end[row]! & outcomes;
    if (cells.cluster !== null) cells.cluster[length] = cluster[row]! - 1;
    cells.procedures[length++] = 1;
  }
  return length;
}

/** The same of a table. */
function addTable({ pattern, exit, outcome, procedures }: CountedCells, after: number, { pattern: ofTable, counts }: CountTable, bits: number): number {
  const outcomes = 2 ** bits - 1;
  let length = after;
  for (let ending = 0; ending < counts.length; ++ending) {
    const count = counts[ending]!;
    if (count === 0) continue;
    pattern[length] = ofTable;
    exit[length] = ending >> bits;
    outcome[length] = ending & outcomes;
    procedures[length++] = count;
  }
  return length;
}

function above0(counts: Int32Array): number {
  let cells = 0;
  for (let end = 0; end < counts.length; ++end) if (counts[end]! > 0) cells++;
  return cells;
}
