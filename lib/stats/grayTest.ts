import type { Cells, NotEstimable } from './cells';
import { checkCells } from './checkCells';
import { cholesky, quadraticForm, relativeTolerance } from './cholesky';
import { distinctTimes } from './distinctTimes';
import { chiSquareUpperTail } from './distributions/chiSquare';
import { indexesByGroup, subset } from './subset';

export interface GrayTest {
  readonly status: 'ok';
  readonly chisq: number;
  /** Groups at risk at some event of the cause, less one. */
  readonly df: number;
  readonly p: number;
}

/**
 * Gray's test that the cumulative incidence of `cause` (default 1, the event of interest) is equal in `groups` groups, summed over strata;
 * `group` has an entry per cell, 0 … groups − 1. All must be followed from time 0.
 * Gray 1988, Ann Stat 16:1141, ρ = 0, with the author's later allowance for ties: variances shrink as in drawing without replacement.
 */
export function grayTest(cells: Cells, group: Int32Array, groups: number, cause = 1): GrayTest | NotEstimable {
  checkCells(cells);
  if (cells.entry?.some((e) => e >= 0)) return { status: 'notEstimable', reason: 'some follow-up begins after the day of surgery' };
  const score = new Float64Array(groups), variance = new Float64Array(groups * groups), compared = new Uint8Array(groups);
  const strata = distinctTimes(Float64Array.from(cells.stratum ?? cells.event.map(() => 0)));
  for (const indexes of indexesByGroup(strata.place, strata.time.length)) {
    const counts = countsByGroup(subset(cells, indexes), Int32Array.from(indexes, (i) => group[i]!), groups, cause);
    addStratum(counts, groups, score, variance, compared);
  }
  const [, ...free] = Array.from(compared.keys()).filter((g) => compared[g]! > 0);
  const order = free.length;
  if (!compared.includes(1)) return { status: 'notEstimable', reason: 'no events of this cause' };
  if (order === 0) return { status: 'notEstimable', reason: 'at every event of this cause only one group was at risk' };
  const matrix = Float64Array.from({ length: order * order }, (_, k) => variance[free[Math.floor(k / order)]! * groups + free[k % order]!]!);
  const factor = cholesky(matrix, order, relativeTolerance(matrix, order));
  const chisq = quadraticForm(factor, Float64Array.from(free, (g) => score[g]!));
  if (factor.rank < order || !Number.isFinite(chisq)) return { status: 'notEstimable', reason: 'the groups were not at risk at the same times' };
  return { status: 'ok', chisq, df: order, p: chiSquareUpperTail(chisq, order) };
}

/** At each distinct exit time, row-major times × groups. */
interface Counts {
  readonly times: number;
  readonly atRisk: Float64Array;
  readonly own: Float64Array; // events of the cause
  readonly other: Float64Array; // events of any other
}

function countsByGroup({ exit, event, count }: Cells, group: Int32Array, groups: number, cause: number): Counts {
  const { time, place } = distinctTimes(exit), times = time.length;
  const atRisk = new Float64Array(times * groups), own = new Float64Array(times * groups), other = new Float64Array(times * groups);
  place.forEach((p, i) => {
    const at = p * groups + group[i]!;
    atRisk[at]! += count[i]!;
    if (event[i] === cause) own[at]! += count[i]!;
    else if (event[i]! > 0) other[at]! += count[i]!;
  });
  for (let at = (times - 1) * groups - 1; at >= 0; --at) atRisk[at]! += atRisk[at + groups]!;
  return { times, atRisk, own, other };
}

/**
 * The score of group i is ∫ dN_i − Ĥ_i(1 − F_i)/Σ Ĥ(1 − F) dN, its variance a sum over the groups k of the integrals of
 * (a_ik + (c_ik(∞) − c_ik) w)² against the variances of the increments, where a = ĥ_i(δ_ik − ĥ_k/Σĥ), c = ∫ a dF/(1 − F), ĥ = R/S,
 * and w weighs an event of the cause by 1 − (1 − F)/S_k and another by (1 − F)/S_k. As c(∞) is known last, the squares are kept opened.
 */
function addStratum({ times, atRisk, own, other }: Counts, groups: number, score: Float64Array, variance: Float64Array, compared: Uint8Array): void {
  const free = new Float64Array(groups).fill(1), incidence = new Float64Array(groups); // S and F of each group, before the time at hand
  const freeAfter = free.slice();
  const a = new Float64Array(groups * groups), c = new Float64Array(groups * groups), part = new Float64Array(groups);
  const linear = new Float64Array(groups * groups), square = new Float64Array(groups);

  const add = (k: number, weight: number, spread: number, withA: number): void => {
    square[k]! += weight * weight * spread;
    for (let i = 0; i < groups; ++i) part[i] = withA * a[i * groups + k]! - weight * c[i * groups + k]!;
    for (let i = 0; i < groups; ++i) {
      linear[i * groups + k]! += part[i]! * weight * spread;
      for (let j = 0; j < groups; ++j) variance[i * groups + j]! += part[i]! * part[j]! * spread;
    }
  };

  let pooled = 0; // F of all groups together, were they alike
  for (let t = 0; t < times; ++t) {
    const row = t * groups;
    const events = total(own, row, groups);
    if (events === 0 && total(other, row, groups) === 0) continue;
    let all = 0, remaining = 0;
    for (let k = 0; k < groups; ++k) {
      const n = atRisk[row + k]!;
      if (n === 0) continue;
      all += n / free[k]!;
      remaining += (n * (1 - incidence[k]!)) / free[k]!;
      freeAfter[k] = (free[k]! * (n - own[row + k]! - other[row + k]!)) / n;
    }
    const pooledAfter = pooled + events / all;
    for (let i = 0; i < groups; ++i) {
      const h = atRisk[row + i]! > 0 ? atRisk[row + i]! / free[i]! : 0;
      score[i]! += own[row + i]! - (events > 0 ? (events * h * (1 - incidence[i]!)) / remaining : 0);
      if (events > 0 && h > 0) compared[i] = 1;
      for (let k = 0; k < groups; ++k) {
        const hk = atRisk[row + k]! > 0 ? atRisk[row + k]! / free[k]! : 0;
        a[i * groups + k] = h * ((i === k ? 1 : 0) - hk / all);
        c[i * groups + k]! += (a[i * groups + k]! * events) / (all * (1 - pooled));
      }
    }
    for (let k = 0; k < groups; ++k) {
      const n = atRisk[row + k]!, d = other[row + k]!, after = freeAfter[k]!;
      const ratio = after > 0 ? (1 - pooledAfter) / after : 0;
      if (n > 0 && events > 0) {
        const tied = events > 1 ? 1 - (events - 1) / (all * free[k]! - 1) : 1;
        add(k, 1 - ratio, (tied * free[k]! * events) / (all * n), 1);
      }
      if (d > 0 && after > 0) {
        const tied = d > 1 ? 1 - (d - 1) / (n - 1) : 1;
        add(k, ratio, (tied * free[k]! ** 2 * d) / (n * n), 0);
      }
      if (n > 0) incidence[k]! += (free[k]! * own[row + k]!) / n;
    }
    free.set(freeAfter);
    pooled = pooledAfter;
  }
  for (let i = 0; i < groups; ++i) for (let j = 0; j < groups; ++j) for (let k = 0; k < groups; ++k) {
    const ci = c[i * groups + k]!, cj = c[j * groups + k]!;
    variance[i * groups + j]! += ci * cj * square[k]! + ci * linear[j * groups + k]! + cj * linear[i * groups + k]!;
  }
}

function total(values: Float64Array, from: number, length: number): number {
  let sum = 0;
  for (let k = from; k < from + length; ++k) sum += values[k]!;
  return sum;
}
