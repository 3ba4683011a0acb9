/** Rows of a matrix that are the same share a pattern: `pattern` of each row, numbered as they appear, and the `values` of each pattern. */
export function distinctRows(values: Float64Array, width: number, rows: number): { readonly pattern: Int32Array; readonly values: Float64Array; readonly size: number } {
  const pattern = new Int32Array(rows);
  for (let j = 0; j < width; ++j) {
    // the patterns of the columns so far, each told apart by the values of this one
    const levels = new Map<number, number>(), seen = new Map<number, number>();
    for (let i = 0; i < rows; ++i) {
      const value = values[i * width + j]! + 0; // minus zero is zero
      let level = levels.get(value);
      if (level === undefined) levels.set(value, (level = levels.size));
      const key = level * rows + pattern[i]!; // below 2⁵³ for any rows that fit into memory
      let next = seen.get(key);
      if (next === undefined) seen.set(key, (next = seen.size));
      pattern[i] = next;
    }
  }
  const size = rows === 0 ? 0 : pattern.reduce((most, p) => Math.max(most, p), 0) + 1, distinct = new Float64Array(size * width);
  for (let i = rows - 1; i >= 0; --i) distinct.set(values.subarray(i * width, (i + 1) * width), pattern[i]! * width);
  return { pattern, values: distinct, size };
}
