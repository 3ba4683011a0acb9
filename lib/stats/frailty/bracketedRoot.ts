/**
 * x between low and high with f(x) = 0, where f changes sign from `atLow` to `atHigh`, to the given tolerance in x; NaN if f is NaN on the way.
 * False position with the Illinois weights: Dowell & Jarratt 1971, BIT 11:168.
 */
export function bracketedRoot(f: (x: number) => number, low: number, high: number, atLow: number, atHigh: number, tolerance: number): number {
  const search = rootSearch(low, high, atLow, atHigh, tolerance);
  let next = search.next();
  while (next.done !== true) next = search.next(f(next.value));
  return next.value;
}

/** The same for a function that is worked out elsewhere: yields x and is told f(x). */
export function* rootSearch(low: number, high: number, atLow: number, atHigh: number, tolerance: number): Generator<number, number, number> {
  let a = low, b = high, fa = atLow, fb = atHigh;
  for (let k = 0; k < 100 && Math.abs(b - a) > tolerance; ++k) {
    const x = b - (fb * (b - a)) / (fb - fa), fx = yield x;
    if (!(Math.abs(fx) > 0)) return Number.isNaN(fx) ? NaN : x;
    if (fx * fb < 0) {
      a = b;
      fa = fb;
    } else fa /= 2;
    if (Math.abs(x - b) < tolerance) return x;
    b = x;
    fb = fx;
  }
  return b;
}
