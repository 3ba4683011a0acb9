import { firstAbove } from '../distinctTimes';
import type { Standardisation } from './standardisation';

/**
 * A number read from one group's standardised curve S̄, the mean over the case mix of exp(−Λ e^(x′β)), with what its influence function needs:
 * its derivatives by the increments of Λ (per risk set, sign turned), by β (sign turned), and its value in each row of the case mix.
 */
export interface Functional {
  readonly value: number;
  readonly byHazard: Float64Array;
  readonly byCoefficient: Float64Array;
  readonly byRow: Float64Array;
}

/** S̄ at a time. */
export const survivalAt = (standardisation: Standardisation, group: number, time: number): Functional =>
  sumOfSteps(standardisation, group, 1, (times) => [{ step: firstAbove(times, time) - 1, length: 1 }]);

/** The area below S̄ up to a time: the mean time free of the event within it. */
export const areaUpTo = (standardisation: Standardisation, group: number, horizon: number): Functional =>
  sumOfSteps(standardisation, group, horizon, (times) => Array.from({ length: firstAbove(times, horizon) + 1 }, (_, k) => (
    { step: k - 1, length: Math.min(horizon, times[k] ?? Infinity) - (times[k - 1] ?? 0) }
  )));

/** Step k of S lasts from the k-th event time of its stratum until the next; step −1 comes before the first. */
interface Step { readonly step: number; readonly length: number }

/** Σ length · S̄(step) over steps in ascending order, whose lengths add up to `whole`. */
function sumOfSteps(
  { fit, caseMix, modelPattern, modelStratum, cumulativeHazard }: Standardisation, group: number, whole: number, stepsOf: (times: Float64Array) => readonly Step[],
): Functional {
  const { model: { sets, columns, x }, sums: { relativeHazard } } = fit.state;
  const strata = new Map(Array.from(new Set(caseMix.map((row) => modelStratum(row, group))), (stratum) => {
    const first = sets.stratum.indexOf(stratum), times = first < 0 ? new Float64Array(0) : sets.time.subarray(first, sets.stratum.lastIndexOf(stratum) + 1);
    const steps = stepsOf(times);
    return [stratum, { first, times, steps, byStep: new Float64Array(steps.length) }]; // byStep: −∂S̄(step)/∂Λ, times its length
  }));
  const byHazard = new Float64Array(sets.time.length), byCoefficient = new Float64Array(columns);
  let loss = 0; // of a group without events exactly 0, though shares add up to 1 only nearly
  const byRow = Float64Array.from(caseMix, (row) => {
    const q = modelPattern(row, group), theta = relativeHazard[q]!, { first, steps, byStep } = strata.get(modelStratum(row, group))!;
    let own = 0, byLinear = 0; // own: what events take from the whole
    steps.forEach(({ step, length }, s) => {
      const hazard = step < 0 ? 0 : cumulativeHazard[first + step]! * theta, area = length * Math.exp(-hazard);
      own -= length * Math.expm1(-hazard);
      byLinear += hazard * area;
      byStep[s]! += row.share * theta * area;
    });
    for (let j = 0; j < columns; ++j) byCoefficient[j]! += row.share * byLinear * x[q * columns + j]!;
    loss += row.share * own;
    return whole - own;
  });
  for (const { first, times, steps, byStep } of strata.values()) {
    for (let k = times.length - 1, s = steps.length - 1, sum = 0; k >= 0; --k) { // an increment at the k-th time lowers every step from k on
      for (; s >= 0 && steps[s]!.step >= k; --s) sum += byStep[s]!;
      byHazard[first + k] = sum;
    }
  }
  return { value: whole - loss, byHazard, byCoefficient, byRow };
}
