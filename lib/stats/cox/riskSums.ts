import type { CoxModel } from './coxModel';
import type { Lingering } from './lingering';

/** Weighted sums over each risk set at one coefficient vector; the weight of a procedure is its relative hazard e^(x′β). */
export interface RiskSums {
  /** x′β and e^(x′β) of each pattern. */
  readonly linear: Float64Array;
  readonly relativeHazard: Float64Array;
  /** Σ weight over the members of each set, and Σ weight · x (sets × columns). */
  readonly s0: Float64Array;
  readonly s1: Float64Array;
  /** The same over the events of each set alone. */
  readonly e0: Float64Array;
  readonly e1: Float64Array;
}

/** One pass from late to early times: members join at their exit and, with delayed entry, leave at their entry; one back for those that linger. */
export function riskSums(model: CoxModel, beta: Float64Array): RiskSums {
  const { cells, design: { pattern }, sets, columns, patterns, x } = model;
  const linear = new Float64Array(patterns);
  for (let p = 0; p < patterns; ++p) for (let j = 0; j < columns; ++j) linear[p]! += x[p * columns + j]! * beta[j]!;
  const relativeHazard = linear.map(Math.exp);

  const size = sets.time.length;
  const s0 = new Float64Array(size), s1 = new Float64Array(size * columns), e0 = new Float64Array(size), e1 = new Float64Array(size * columns);
  const { leaving, entering, stratum } = sets;
  const running = new RunningSums(columns + 1);
  for (let k = size - 1; k >= 0; --k) {
    if (stratum[k] !== stratum[k + 1]) running.clear();
    else for (let b = entering.start[k + 1]!; b < entering.start[k + 2]!; ++b) join(entering.cells[b]!, -1);
    for (let b = leaving.start[k]!; b < leaving.start[k + 1]!; ++b) {
      const i = leaving.cells[b]!;
      join(i, 1);
      if (cells.event[i] !== 1) continue;
      const p = pattern[i]!, w = cells.count[i]! * relativeHazard[p]!;
      e0[k]! += w;
      for (let j = 0; j < columns; ++j) e1[k * columns + j]! += w * x[p * columns + j]!;
    }
    s0[k] = running.value(columns);
    for (let j = 0; j < columns; ++j) s1[k * columns + j] = running.value(j);
  }
  if (model.lingering) linger(model.lingering);
  return { linear, relativeHazard, s0, s1, e0, e1 };

  function join(i: number, sign: 1 | -1): void {
    const p = pattern[i]!, w = sign * cells.count[i]! * relativeHazard[p]!;
    for (let j = 0; j < columns; ++j) running.add(j, w * x[p * columns + j]!);
    running.add(columns, w);
  }

  /** From early to late times: those that linger join after their exit, and all of one group shrink alike from set to set. */
  function linger({ cell, from, share, group, remaining }: Lingering): void {
    const width = columns + 1, lingering = new Float64Array(remaining.length * width);
    for (let k = 0, m = 0; k < size; ++k) {
      if (stratum[k] !== stratum[k - 1]) lingering.fill(0);
      for (; from[m] === k; ++m) {
        const i = cell[m]!, p = pattern[i]!, at = group[m]! * width, w = share[m]! * cells.count[i]! * relativeHazard[p]!;
        for (let j = 0; j < columns; ++j) lingering[at + j]! += w * x[p * columns + j]!;
        lingering[at + columns]! += w;
      }
      remaining.forEach((weight, g) => {
        for (let j = 0; j < columns; ++j) s1[k * columns + j]! += weight[k]! * lingering[g * width + j]!;
        s0[k]! += weight[k]! * lingering[g * width + columns]!;
      });
    }
  }
}

/**
 * Sums that keep their last digits although most of what was added is taken away again, as with delayed entry.
 * Neumaier 1974, Z Angew Math Mech 54:39.
 */
class RunningSums {
  readonly #sum: Float64Array;
  readonly #lost: Float64Array;

  constructor(size: number) {
    this.#sum = new Float64Array(size);
    this.#lost = new Float64Array(size);
  }

  clear(): void {
    this.#sum.fill(0);
    this.#lost.fill(0);
  }

  add(j: number, v: number): void {
    const s = this.#sum[j]!, t = s + v;
    this.#lost[j]! += Math.abs(s) >= Math.abs(v) ? s - t + v : v - t + s;
    this.#sum[j] = t;
  }

  value(j: number): number {
    return this.#sum[j]! + this.#lost[j]!;
  }
}
