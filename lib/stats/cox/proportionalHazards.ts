import type { Cells, NotEstimable } from '../cells';
import { cholesky, quadraticForm } from '../cholesky';
import { eventTable } from '../eventTable';
import { kaplanMeier } from '../kaplanMeier';
import { product } from '../product';
import { firstAbove, firstAtLeast } from '../distinctTimes';
import { chiSquareTest, type ChiSquareTest, type CoxFit } from './cox';
import { information, score } from './partialLikelihood';

/** The scale of time on which a coefficient may drift: 1 − S(t−) of all procedures, t, the rank of t among all exits, or ln t. */
export type TimeScale = 'km' | 'identity' | 'rank' | 'log';

/** Columns of the design that are tested together. */
export interface Term { readonly name: string; readonly columns: readonly number[] }

export interface ProportionalHazardsTest {
  readonly terms: readonly { readonly name: string; readonly test: ChiSquareTest | NotEstimable }[];
  readonly global: ChiSquareTest | NotEstimable;
}

/**
 * Score test, per term and for all together, that the coefficients do not drift with g(t): of adding g(t)·x to the fitted model.
 * Columns without an estimate are not tested. Default scale `km`; default terms: each column.
 * Grambsch & Therneau 1994, Biometrika 81:515.
 */
export function proportionalHazards(fit: CoxFit, scale: TimeScale = 'km', terms?: readonly Term[]): ProportionalHazardsTest {
  const { state, names } = fit, columns = names.length;
  const all = Array.from(names.keys()), wanted = terms ?? all.map((j) => ({ name: names[j]!, columns: [j] }));
  const g = eventTimeScale(state.model.cells, state.model.sets.time, state.model.sets.events, scale);
  if (!g.every(Number.isFinite)) {
    const test: NotEstimable = { status: 'notEstimable', reason: 'a revision at time 0 has no logarithm' };
    return { terms: wanted.map(({ name }) => ({ name, test })), global: test };
  }
  const drift = score(state, g), crossed = information(state, g), squared = information(state, g.map((v) => v * v));

  const left = remainder(crossed, fit.maximum.covariance, squared, columns);
  const testOf = (wish: readonly number[]): ChiSquareTest | NotEstimable => {
    const tested = wish.filter((j) => fit.notEstimable[j] === null), order = tested.length;
    if (order === 0) return { status: 'notEstimable', reason: 'no coefficient of this term can be estimated' };
    const matrix = Float64Array.from({ length: order * order }, (_, k) => left[tested[Math.floor(k / order)]! * columns + tested[k % order]!]!);
    const factor = cholesky(matrix, order, (i) => 1e-10 * squared[tested[i]! * (columns + 1)]!);
    if (factor.rank < order) return { status: 'notEstimable', reason: 'revisions at too few different times' };
    return chiSquareTest(quadraticForm(factor, Float64Array.from(tested, (j) => drift[j]!)), order);
  };
  return { terms: wanted.map((term) => ({ name: term.name, test: testOf(term.columns) })), global: testOf(all) };
}

/** Information on the drift that is left once the coefficients themselves are fitted: C − B V B′. */
function remainder(b: Float64Array, v: Float64Array, c: Float64Array, order: number): Float64Array {
  const explained = product(product(b, v, order), b, order); // b is symmetric
  return c.map((value, k) => value - explained[k]!);
}

/** g(t) at the given event times, less its mean over events: the mean does not matter to the test, but to its rounding. */
function eventTimeScale(cells: Cells, times: Float64Array, events: Float64Array, scale: TimeScale): Float64Array {
  const g = transformed(cells, times, scale);
  let total = 0, sum = 0;
  events.forEach((d, k) => {
    total += d;
    sum += d * g[k]!;
  });
  return g.map((v) => v - sum / total);
}

function transformed(cells: Cells, times: Float64Array, scale: TimeScale): Float64Array {
  switch (scale) {
    case 'identity': return times;
    case 'log': return times.map(Math.log);
    case 'km': {
      const { table, survival } = kaplanMeier(eventTable(cells));
      return times.map((t) => 1 - (survival[firstAtLeast(table.time, t) - 1] ?? 1));
    }
    case 'rank': {
      const { time, events, competing, censored } = eventTable(cells);
      const upTo = new Float64Array(time.length + 1);
      time.forEach((_, j) => { upTo[j + 1] = upTo[j]! + events[j]! + competing[j]! + censored[j]!; });
      return times.map((t) => (upTo[firstAtLeast(time, t)]! + upTo[firstAbove(time, t)]! + 1) / 2); // the middle rank of ties
    }
  }
}
