/** 95% limits of a proportion (Wilson 1927, J Am Stat Assoc 22:209). */
export function wilson(count: number, n: number): { readonly lower: number; readonly upper: number } {
  const z = 1.959963984540054, p = count / n;
  const centre = 2 * count + z ** 2, spread = z * Math.sqrt(z ** 2 + 4 * count * (1 - p));
  return { lower: (centre - spread) / (2 * (n + z ** 2)), upper: (centre + spread) / (2 * (n + z ** 2)) };
}
