import { setSums, sumOver } from '../riskSets';
import type { Functional } from './functional';
import type { Standardisation } from './standardisation';

/**
 * The influence of one procedure of each cell on a functional of a standardised curve: by its own group's baseline hazard, by the coefficients,
 * and by being part of the case mix. Derivatives by case weights of all three, Efron's denominators included.
 * Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, ch. 6; for Cox models Reid & Crépeau 1985, Biometrika 72:1;
 * for standardised risks Ozenne et al. 2020, Biom J 62:751.
 */
export function influences({ fit, rowOf, residuals, procedures }: Standardisation, { value, byHazard, byCoefficient, byRow }: Functional): Float64Array {
  const { model: { cells, design: { pattern }, sets, columns }, sums: { relativeHazard, s1, e1 }, ties } = fit.state;
  const direction = new Float64Array(columns);
  for (let k = 0; k < byHazard.length; ++k) {
    if (byHazard[k] === 0) continue;
    for (let j = 0; j < columns; ++j) direction[j]! += byHazard[k]! * (ties.square[k]! * s1[k * columns + j]! - ties.squareSpared[k]! * e1[k * columns + j]!);
  }
  const known = Array.from(fit.notEstimable.keys()).filter((j) => fit.notEstimable[j] === null);
  const byScore = new Float64Array(columns);
  for (const i of known) for (const j of known) byScore[i]! += fit.maximum.covariance[i * columns + j]! * (direction[j]! - byCoefficient[j]!);

  const drain = setSums(ties.square.map((v, k) => v * byHazard[k]!), sets);
  const spared = ties.squareSpared.map((v, k) => v * byHazard[k]!), gained = ties.hazard.map((v, k) => (v / sets.events[k]!) * byHazard[k]!);
  const fromRow = byRow.map((v) => (v - value) / procedures), result = new Float64Array(rowOf.length);
  for (let i = 0; i < result.length; ++i) {
    const first = sets.first[i]!, last = sets.last[i]!;
    let own = fromRow[rowOf[i]!]!;
    if (first <= last) {
      const event = cells.event[i] === 1;
      own += relativeHazard[pattern[i]!]! * (sumOver(drain, sets, first, last) - (event ? spared[last]! : 0)) - (event ? gained[last]! : 0);
    }
    for (let j = 0, at = i * columns; j < columns; ++j) own += residuals[at + j]! * byScore[j]!;
    result[i] = own;
  }
  return result;
}
