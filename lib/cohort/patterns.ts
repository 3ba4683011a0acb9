/** Levels of each factor, by the highest of its codes (-1: nowhere recorded): its codes and, as number 0, not recorded. */
export const patternRadices = (highest: readonly number[]): readonly number[] => highest.map((code) => code + 2);

/** How many patterns can be told apart. Throws a RangeError where their numbers would not be exact. */
export function possiblePatterns(radices: readonly number[]): number {
  const patterns = radices.reduce((product, radix) => product * radix, 1);
  if (patterns > Number.MAX_SAFE_INTEGER) throw new RangeError(`too many combinations of covariates and strata: ${patterns}`);
  return patterns;
}

/** The codes that a pattern number stands for, in the order of the factors; -1: not recorded. */
export function unpackPattern(pattern: number, radices: readonly number[]): readonly number[] {
  const codes: number[] = [];
  let rest = pattern;
  for (const radix of radices.toReversed()) {
    codes.unshift((rest % radix) - 1);
    rest = Math.floor(rest / radix);
  }
  return codes;
}
