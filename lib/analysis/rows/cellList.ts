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

/** How many rows of a pattern, at risk from the start and each a cluster of its own, have each end of follow-up: 4 × exit + outcome. */
export interface CountTable { readonly pattern: number; readonly counts: Int32Array }

/** The cells of tables, patterns ascending, and of rows that are not in them. */
export function cellList(tables: readonly CountTable[], rows: RowList, has: { readonly late: boolean; readonly clusters: boolean }): CountedCells {
  const { order, pattern, late, end, cluster } = rows.sorted(), most = order.length + tables.reduce((sum, { counts }) => sum + above0(counts), 0);
  const patterns = new Int32Array(most), exit = new Float64Array(most), outcome = new Uint8Array(most), procedures = new Float64Array(most);
  const entry = has.late ? new Float64Array(most) : null, clusters = has.clusters ? new Int32Array(most) : null;
  let length = 0, next = 0;
  const add = (ofPattern: number, from: number, ending: number, ofCluster: number, count: number): void => {
    patterns[length] = ofPattern;
    if (entry !== null) entry[length] = from;
    exit[length] = ending >> 2;
    outcome[length] = ending & 3;
    if (clusters !== null) clusters[length] = ofCluster;
    procedures[length++] = count;
  };
  const alike = (a: number, b: number): boolean => pattern[a] === pattern[b] && late[a] === late[b] && end[a] === end[b] && cluster[a] === cluster[b];
  /** Rows up to a pattern and, of those from the start, an end: they come before the table's cell beyond it. */
  const addRows = (toPattern: number, toEnd: number): void => {
    while (next < order.length) {
      const row = order[next]!;
      if (pattern[row]! > toPattern || (pattern[row] === toPattern && (late[row]! > 0 || end[row]! >= toEnd))) return;
      const first = next++;
      while (next < order.length && alike(order[next]!, row)) next++;
      add(pattern[row]!, late[row] === 0 ? -Infinity : late[row]! - 1, end[row]!, cluster[row]! - 1, next - first);
    }
  };
  for (const { pattern: ofPattern, counts } of tables) {
    for (let ending = 0; ending < counts.length; ++ending) {
      if (counts[ending] === 0) continue;
      if (next < order.length) addRows(ofPattern, ending);
      add(ofPattern, -Infinity, ending, -1, counts[ending]!);
    }
  }
  addRows(Infinity, Infinity);
  return {
    pattern: patterns.subarray(0, length), entry: entry?.subarray(0, length) ?? null, exit: exit.subarray(0, length),
    outcome: outcome.subarray(0, length), cluster: clusters?.subarray(0, length) ?? null, procedures: procedures.subarray(0, length),
  };
}

function above0(counts: Int32Array): number {
  let cells = 0;
  for (const count of counts) if (count > 0) cells++;
  return cells;
}
