/**
 * p-values adjusted for the number of tests in a family: rejecting those at or below q keeps the expected share of false ones among them
 * to q. NaN: not tested, and not counted.
 * Benjamini & Hochberg 1995, J R Stat Soc B 57:289.
 */
export function benjaminiHochberg(p: ArrayLike<number>): Float64Array {
  const adjusted = Float64Array.from(p);
  const descending = Array.from(adjusted.keys()).filter((i) => !Number.isNaN(adjusted[i]!)).sort((a, b) => p[b]! - p[a]!);
  let least = 1;
  descending.forEach((i, k) => {
    least = Math.min(least, (p[i]! * descending.length) / (descending.length - k));
    adjusted[i] = least;
  });
  return adjusted;
}
