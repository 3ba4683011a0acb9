import type { RowList } from './rowList';

/** Cells in the order of these columns, with what they count. */
export interface CountedCells {
  readonly pattern: Float64Array;
  readonly entry: Float64Array; // -1: at risk from the start
  readonly exit: Float64Array;
  readonly outcome: Float64Array;
  readonly cluster: Float64Array; // -1: each procedure of the cell is one of its own
  readonly procedures: Float64Array;
}

/** The cells of a table of counts, at pattern × ends + end, and of rows that are not in it. */
export function cellList(table: Int32Array | null, ends: number, rows: RowList): CountedCells {
  const { order, pattern, late, end, cluster } = rows.sorted();
  let most = order.length;
  if (table !== null) for (const procedures of table) if (procedures > 0) most++;
  const cells = { pattern: new Float64Array(most), entry: new Float64Array(most), exit: new Float64Array(most), outcome: new Float64Array(most), cluster: new Float64Array(most), procedures: new Float64Array(most) };
  let length = 0, next = 0;
  const add = (ofPattern: number, entry: number, ending: number, ofCluster: number, procedures: number): void => {
    cells.pattern[length] = ofPattern;
    cells.entry[length] = entry;
    cells.exit[length] = ending >> 2;
    cells.outcome[length] = ending & 3;
    cells.cluster[length] = ofCluster;
    cells.procedures[length++] = procedures;
  };
  /** Rows up to a pattern and, of those from the start, an end: they come before the table's cell beyond it. */
  const addRows = (toPattern: number, toEnd: number): void => {
    while (next < order.length) {
      const row = order[next]!;
      if (pattern[row]! > toPattern || (pattern[row] === toPattern && (late[row]! > 0 || end[row]! >= toEnd))) return;
      const first = next++;
      while (next < order.length && alike(order[next]!, row)) next++;
      add(pattern[row]!, late[row]! - 1, end[row]!, cluster[row]! - 1, next - first);
    }
  };
  const alike = (a: number, b: number): boolean => pattern[a] === pattern[b] && late[a] === late[b] && end[a] === end[b] && cluster[a] === cluster[b];

  if (table !== null) {
    for (let at = 0, ofPattern = 0; at < table.length; ++ofPattern) {
      for (let ending = 0; ending < ends; ++ending, ++at) {
        if (table[at] === 0) continue;
        addRows(ofPattern, ending);
        add(ofPattern, -1, ending, -1, table[at]!);
      }
    }
  }
  addRows(Infinity, Infinity);
  return {
    pattern: cells.pattern.slice(0, length), entry: cells.entry.slice(0, length), exit: cells.exit.slice(0, length),
    outcome: cells.outcome.slice(0, length), cluster: cells.cluster.slice(0, length), procedures: cells.procedures.slice(0, length),
  };
}
