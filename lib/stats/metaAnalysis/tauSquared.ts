import { generalisedQ, weightedMean, type Studies } from './studies';

// The variance between studies, at least 0, of two studies or more.

/** By the method of moments. DerSimonian & Laird 1986, Control Clin Trials 7:177. */
export function derSimonianLaird(studies: Studies): number {
  const { weights, sum } = weightedMean(studies, 0), squares = weights.reduce((total, w) => total + w * w, 0);
  return Math.max(0, (generalisedQ(studies, 0) - (weights.length - 1)) / (sum - squares / sum));
}

/** That with which the generalised Q is what it is expected to be. Paule & Mandel 1982, J Res Natl Bur Stand 87:377. */
export function pauleMandel(studies: Studies): number {
  const expected = studies.estimate.length - 1;
  if (generalisedQ(studies, 0) <= expected) return 0;
  let low = 0, high = Math.max(...studies.standardError) ** 2;
  while (generalisedQ(studies, high) > expected) high *= 2;
  for (let middle = (low + high) / 2; middle > low && middle < high; middle = (low + high) / 2) {
    if (generalisedQ(studies, middle) > expected) low = middle; else high = middle;
  }
  return (low + high) / 2;
}

const mostSteps = 1000;

/** By restricted maximum likelihood, with Fisher scoring. Null: no maximum was found. Viechtbauer 2005, J Educ Behav Stat 30:261. */
export function restrictedMaximumLikelihood(studies: Studies): number | null {
  let tauSquared = derSimonianLaird(studies);
  for (let step = 0; step < mostSteps; ++step) {
    const { weights, sum, mean } = weightedMean(studies, tauSquared);
    const powers = (n: number): number => weights.reduce((total, w) => total + w ** n, 0), [second, third] = [powers(2), powers(3)];
    const residual = studies.estimate.reduce((total, y, i) => total + (weights[i]! * (y - mean)) ** 2, 0);
    const score = residual - (sum - second / sum), information = second - (2 * third) / sum + (second / sum) ** 2;
    const next = Math.max(0, tauSquared + score / information), moved = Math.abs(next - tauSquared);
    tauSquared = next;
    if (moved <= 1e-15 + 1e-13 * tauSquared) return tauSquared;
  }
  return null;
}
