/** Rows as four whole numbers of at least 0 each, to be sorted by them. */
export interface RowList {
  push(pattern: number, late: number, cluster: number, end: number): void;
  /** Rows in the order of pattern, late, cluster and end. */
  sorted(): SortedRows;
}

export interface SortedRows {
  readonly order: Int32Array;
  readonly pattern: Int32Array;
  readonly late: Int32Array;
  readonly cluster: Int32Array;
  readonly end: Int32Array;
}

export function rowList(): RowList {
  let length = 0, keys = [0, 1, 2, 3].map(() => new Int32Array(1024)) as [Int32Array, Int32Array, Int32Array, Int32Array];
  return {
    push(pattern, late, cluster, end) {
      if (length === keys[0].length) {
        keys = keys.map((key) => {
          const longer = new Int32Array(2 * length);
          longer.set(key);
          return longer;
        }) as typeof keys;
      }
      const [patterns, lates, clusters, ends] = keys;
      patterns[length] = pattern;
      lates[length] = late;
      clusters[length] = cluster;
      ends[length++] = end;
    },
    sorted() {
      const [pattern, late, cluster, end] = keys.map((key) => key.subarray(0, length)) as typeof keys;
      const order = [end, cluster, late, pattern].reduce(byKey, Int32Array.from({ length }, (_, i) => i));
      return { order, pattern, late, cluster, end };
    },
  };
}

/** The same rows by a key, those with the same one in the order that they had: a counting sort. */
function byKey(order: Int32Array, key: Int32Array): Int32Array {
  let highest = 0;
  for (let row = 0; row < key.length; ++row) if (key[row]! > highest) highest = key[row]!;
  if (highest === 0) return order;
  const next = new Int32Array(highest + 2), sorted = new Int32Array(order.length);
  for (let row = 0; row < key.length; ++row) next[key[row]! + 1]! += 1;
  for (let k = 1; k < next.length; ++k) next[k]! += next[k - 1]!;
  for (let at = 0; at < order.length; ++at) sorted[next[key[order[at]!]!]!++] = order[at]!;
  return sorted;
}
