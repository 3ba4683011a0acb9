import { cholesky, nullVector, solve, type Cholesky } from '../cholesky';

/** A log likelihood at one parameter vector, with its gradient and its information (minus the second derivative, row-major). */
export interface LikelihoodAt {
  readonly at: Float64Array;
  readonly value: number;
  readonly gradient: Float64Array;
  readonly information: Float64Array;
}

/** `diverging`: parameters that grow without bound; empty where the likelihood has its maximum at `likelihood.at`. */
export interface Summit {
  readonly likelihood: LikelihoodAt;
  readonly factor: Cholesky;
  readonly diverging: ReadonlySet<number>;
}

const mostIterations = 200;

/**
 * Newton's method with step-halving on a concave log likelihood whose parameters are on comparable scales.
 * A direction whose information falls to nothing against that at the start is one in which the likelihood rises for ever: its parameters are
 * named and the search ends. Null: the search did not settle.
 */
export function summit(likelihood: (at: Float64Array) => LikelihoodAt, start: Float64Array): Summit | null {
  const order = start.length;
  let here = likelihood(start);
  const first = here.information;
  for (let iteration = 0, before = Infinity; iteration < mostIterations; ++iteration) {
    const { information, gradient, at, value } = here;
    const factor = cholesky(information, order, (j) => Math.max(1e-11 * first[j * order + j]!, 1e-13 * information[j * order + j]!));
    if (factor.rank < order) return { likelihood: here, factor, diverging: unbounded(factor) };
    const step = solve(factor, gradient);
    const gain = step.reduce((sum, v, j) => sum + v * gradient[j]!, 0);
    const size = step.reduce((most, v, j) => Math.max(most, Math.abs(v) / (1 + Math.abs(at[j]!))), 0);
    const settled = gain <= 1e-13 * (1 + Math.abs(value)) && size < 1e-3 && size > before / 2; // rounding is all that is left
    if (size < 1e-9 || settled) {
      here = likelihood(at.map((v, j) => v + step[j]!));
      return { likelihood: here, factor: cholesky(here.information, order, () => 0), diverging: new Set() };
    }
    before = size;
    const next = ascend(likelihood, here, step, gain);
    if (!next) return null;
    here = next;
  }
  return null;
}

/** The first of the full step and its halves that raises the likelihood as a step of this gain should. */
function ascend(likelihood: (at: Float64Array) => LikelihoodAt, { at, value }: LikelihoodAt, step: Float64Array, gain: number): LikelihoodAt | null {
  const rounding = 1e-12 * (1 + Math.abs(value));
  for (let part = 1; part > 1e-9; part /= 2) {
    const next = likelihood(at.map((v, j) => v + part * step[j]!));
    if (next.value >= value + 1e-4 * part * gain - rounding) return next;
  }
  return null;
}

function unbounded(factor: Cholesky): Set<number> {
  const result = new Set<number>();
  factor.pivot.forEach((pivot, j) => {
    if (pivot > 0) return;
    nullVector(factor, j).forEach((v, i) => { if (Math.abs(v) > 1e-5) result.add(i); });
  });
  return result;
}
