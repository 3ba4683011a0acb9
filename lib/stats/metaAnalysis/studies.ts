/** Estimates on a scale on which they are about normal, as logarithms of ratios, each from people of its own. */
export interface Studies {
  readonly estimate: Float64Array;
  readonly standardError: Float64Array; // above 0
}

export interface WeightedMean { readonly weights: Float64Array; readonly sum: number; readonly mean: number }

/** The mean by inverse variance, each variance being that of the study and, between studies, `tauSquared`. */
export function weightedMean({ estimate, standardError }: Studies, tauSquared: number): WeightedMean {
  const weights = standardError.map((se) => 1 / (se * se + tauSquared)), sum = weights.reduce((a, b) => a + b, 0);
  return { weights, sum, mean: estimate.reduce((total, y, i) => total + weights[i]! * y, 0) / sum };
}

/** The weighted sum of squares about the mean: Cochran's Q where `tauSquared` is 0. */
export function generalisedQ(studies: Studies, tauSquared: number): number {
  const { weights, mean } = weightedMean(studies, tauSquared);
  return studies.estimate.reduce((q, y, i) => q + weights[i]! * (y - mean) ** 2, 0);
}
