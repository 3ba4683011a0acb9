// A sum in two parts, the second what rounding took from the first (Knuth 1997, The Art of Computer Programming 2, §4.2.2, theorem B). What was added and is
// taken away again leaves nothing behind, however large it was beside the rest: differences of running sums are as good as sums over the range.

/** Sums with twice the digits of a double: each is high + low. */
export interface ExactSums { readonly high: Float64Array; readonly low: Float64Array }

export const exactSums = (size: number): ExactSums => ({ high: new Float64Array(size), low: new Float64Array(size) });

/** All 0 again. */
export function clear({ high, low }: ExactSums): void {
  high.fill(0);
  low.fill(0);
}

export function addExactly({ high, low }: ExactSums, at: number, value: number): void {
  const before = high[at]!, sum = before + value, added = sum - before;
  high[at] = sum;
  low[at]! += (before - (sum - added)) + (value - added);
}

/** Adds to each sum the one at `from`, one row of `width` to another. */
export function addRowExactly(sums: ExactSums, width: number, from: number, to: number): void {
  for (let j = 0; j < width; ++j) {
    addExactly(sums, to * width + j, sums.high[from * width + j]!);
    sums.low[to * width + j]! += sums.low[from * width + j]!;
  }
}
