import type { RowList } from './rowList';

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
  const { order, pattern, late, end, cluster } = rows.sorted(), most = order.length + tables.reduce((sum, { counts }) => sum + above0(counts), 0);
  const cells = {
    pattern: new Int32Array(most), entry: has.late ? new Float64Array(most).fill(-Infinity) : null, exit: new Float64Array(most),
    outcome: new Uint8Array(most), cluster: has.clusters ? new Int32Array(most).fill(-1) : null, procedures: new Float64Array(most),
  };
  const outcomes = 2 ** has.bits - 1;
  let length = 0, next = 0;
  const alike = (a: number, b: number): boolean => pattern[a] === pattern[b] && late[a] === late[b] && end[a] === end[b] && cluster[a] === cluster[b];
  const addRow = (): void => {
    const row = order[next]!, first = next++;
    while (next < order.length && alike(order[next]!, row)) next++;
    cells.pattern[length] = pattern[row]!;
    if (cells.entry !== null && late[row]! > 0) cells.entry[length] = late[row]! - 1;
    cells.exit[length] = end[row]! >> has.bits;
    cells.outcome[length] = end[row]! & outcomes;
    if (cells.cluster !== null) cells.cluster[length] = cluster[row]! - 1;
    cells.procedures[length++] = next - first;
  };
  for (const { pattern: ofTable, counts } of tables) {
    while (next < order.length && pattern[order[next]!]! < ofTable) addRow();
    let from = 0;
    while (next < order.length && pattern[order[next]!] === ofTable && late[order[next]!] === 0) { // those in clusters come among the cells of the table
      const to = end[order[next]!]! + 1;
      length = addTable(cells, length, ofTable, { counts, bits: has.bits }, from, to);
      addRow();
      from = to;
    }
    length = addTable(cells, length, ofTable, { counts, bits: has.bits }, from, counts.length);
  }
  while (next < order.length) addRow();
  return {
    pattern: cells.pattern.subarray(0, length), entry: cells.entry?.subarray(0, length) ?? null, exit: cells.exit.subarray(0, length),
    outcome: cells.outcome.subarray(0, length), cluster: cells.cluster?.subarray(0, length) ?? null, procedures: cells.procedures.subarray(0, length),
  };
}

/** Adds the cells of a table with an end from `from` to before `to` after so many; returns how many there are then. */
function addTable({ pattern, exit, outcome, procedures }: CountedCells, after: number, ofTable: number, { counts, bits }: { readonly counts: Int32Array; readonly bits: number }, from: number, to: number): number {
  const outcomes = 2 ** bits - 1;
  let length = after;
  for (let ending = from; ending < to; ++ending) {
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
