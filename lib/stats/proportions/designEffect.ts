/**
 * How much larger the variance of a share is than that of as many independent observations, because some clusters have several: Σ (k − p m)² over
 * clusters of m observations, k of them with the sign, against n p (1 − p). At least 1; 1 where all or none have it.
 * Rao & Scott 1992, Biometrics 48:577, without their correction for few clusters.
 * `several`: clusters of more than one observation; the rest of `total` and `count` stand alone.
 */
export function designEffect(count: number, total: number, several: readonly { readonly count: number; readonly total: number }[]): number {
  const p = count / total;
  if (!(p > 0 && p < 1) || several.length === 0) return 1;
  const inSeveral = several.reduce((sum, c) => sum + c.total, 0), withSign = several.reduce((sum, c) => sum + c.count, 0);
  const alone = total - inSeveral, aloneWith = count - withSign;
  const squares = several.reduce((sum, c) => sum + (c.count - p * c.total) ** 2, aloneWith * (1 - p) ** 2 + (alone - aloneWith) * p * p);
  return Math.max(1, squares / (total * p * (1 - p)));
}
