/**
 * How many of `size` values are below each of them, in the same order. Values are put in buckets by how large they are and compared within their own
 * bucket only, which takes a fraction of the time of sorting them. The result is overwritten by the next call.
 */
export function countsBelow(size: number): (values: Float64Array) => Int32Array {
  const buckets = 4 * size, start = new Int32Array(buckets + 2), bucketOf = new Int32Array(size), together = new Float64Array(size), below = new Int32Array(size);
  return (values) => {
    let least = Infinity, most = -Infinity;
    for (const v of values) {
      if (v < least) least = v;
      if (v > most) most = v;
    }
    const scale = Math.min(buckets / (most - least), Number.MAX_VALUE); // also where all are alike
    start.fill(0);
    for (let i = 0; i < size; ++i) {
      bucketOf[i] = (values[i]! - least) * scale; // whole in an array of integers
      start[bucketOf[i]! + 1]! += 1;
    }
    for (let b = 0; b <= buckets; ++b) start[b + 1]! += start[b]!;
    for (let i = size - 1; i >= 0; --i) together[--start[bucketOf[i]! + 1]!] = values[i]!; // start[b + 1] becomes where bucket b begins
    for (let i = 0; i < size; ++i) {
      const value = values[i]!, bucket = bucketOf[i]!, first = start[bucket + 1]!, end = bucket === buckets ? size : start[bucket + 2]!;
      let n = first;
      for (let k = first; k < end; ++k) if (together[k]! < value) ++n;
      below[i] = n;
    }
    return below;
  };
}
