import { integersUsedAgain } from '../../stats/usedAgain';

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

type Keys = [Int32Array, Int32Array, Int32Array, Int32Array];
const noKeys = (): Keys => [0, 1, 2, 3].map(() => new Int32Array(1024)) as Keys, mostKept = 2 ** 20;
const orderAgain = integersUsedAgain(), otherAgain = integersUsedAgain();
let kept = noKeys();

/** One at a time: the memory of the one before is used again, what it gave included. */
export function rowList(): RowList {
  let length = 0, keys = kept;
  return {
    push(pattern, late, cluster, end) {
      if (length === keys[0].length) {
        keys = keys.map((key) => {
          const longer = new Int32Array(2 * length);
          longer.set(key);
          return longer;
        }) as Keys;
      }
      const [patterns, lates, clusters, ends] = keys;
      patterns[length] = pattern;
      lates[length] = late;
      clusters[length] = cluster;
      ends[length++] = end;
    },
    sorted() {
      kept = keys[0].length <= mostKept ? keys : noKeys();
      const [pattern, late, cluster, end] = keys.map((key) => key.subarray(0, length)) as Keys;
      let order = orderAgain(length), other = otherAgain(length);
      for (let row = 0; row < length; ++row) order[row] = row;
      for (const key of [end, cluster, late, pattern]) if (sortedBy(key, order, other)) [order, other] = [other, order];
      return { order, pattern, late, cluster, end };
    },
  };
}

/** Fills in the same rows by a key, those with the same one in the order that they had: a counting sort. False: all have the same. */
function sortedBy(key: Int32Array, order: Int32Array, sorted: Int32Array): boolean {
  let highest = 0;
  for (let row = 0; row < key.length; ++row) if (key[row]! > highest) highest = key[row]!;
  if (highest === 0) return false;
  const next = new Int32Array(highest + 2);
  for (let row = 0; row < key.length; ++row) next[key[row]! + 1]! += 1;
  for (let k = 1; k < next.length; ++k) next[k]! += next[k - 1]!;
  for (let at = 0; at < order.length; ++at) sorted[next[key[order[at]!]!]!++] = order[at]!;
  return true;
}
