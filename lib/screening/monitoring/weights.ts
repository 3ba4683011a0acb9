/**
 * Evidence of one procedure, revised by a set time or not, for odds of revision that are `ratio` times the usual, against odds that are usual.
 * `probability`: of its revision by the usual risk, given its covariates, above 0 and below 1. Steiner et al. 2000, Biostatistics 1:441.
 */
export function outcomeWeight(revised: boolean, probability: number, ratio: number): number {
  checkRatio(ratio);
  if (!(probability > 0 && probability < 1)) throw new RangeError(`probability must be above 0 and below 1: ${probability}`);
  return (revised ? Math.log(ratio) : 0) - Math.log1p(probability * (ratio - 1));
}

/**
 * Evidence of each step of calendar time for a hazard that is `ratio` times the reference's, from the revisions observed and expected in it:
 * the chart sees revisions as they happen and procedures as they grow old. Biswas & Kalbfleisch 2008, Stat Med 27:3382.
 */
export function hazardWeights(observed: Float64Array, expected: Float64Array, ratio: number): Float64Array {
  checkRatio(ratio);
  if (observed.length !== expected.length) throw new RangeError(`expected must have one entry per step (${observed.length}): ${expected.length}`);
  return observed.map((o, t) => o * Math.log(ratio) - expected[t]! * (ratio - 1));
}

function checkRatio(ratio: number): void {
  if (!(ratio > 1)) throw new RangeError(`ratio must be above 1: ${ratio}`);
}
