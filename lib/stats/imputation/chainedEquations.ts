import type { NotEstimable } from '../cells';
import { firstAbove } from '../distinctTimes';
import { imputeFactor, type Target } from './imputeFactor';
import { imputeMeasured } from './imputeMeasured';
import { PredictorMatrix } from './predictorMatrix';
import { RandomNumbers } from './random';
import { isMissing, type Variable } from './variable';

export interface ImputationOptions {
  /** A whole number; the same one gives the same imputations. */
  readonly seed: number;
  /** Default 10. */
  readonly imputations?: number;
  /** Rounds over all variables before an imputation is taken; default 5, and 1 where a single variable has missing values. */
  readonly cycles?: number;
}

export interface Imputations {
  readonly status: 'ok';
  /** Per imputation, the variables in their order with every value filled in; recorded values are as they were. */
  readonly completed: readonly (readonly Variable[])[];
  /** Per variable: procedures without a recorded value. */
  readonly missing: readonly number[];
}

/**
 * Multiple imputation by chained equations: each variable with missing values is drawn in turn from its regression on all others and on the
 * outcome (see `outcomePredictors`), rows being procedures (see `singleProcedures`). Assumes that given all these, whether a value was recorded
 * does not depend on the value.
 * van Buuren, Boshuizen & Knook 1999, Stat Med 18:681; White, Royston & Wood 2011, Stat Med 30:377.
 */
export function chainedEquations(variables: readonly Variable[], count: Float64Array, outcome: readonly Float64Array[], options: ImputationOptions): Imputations | NotEstimable {
  const targets = variables.map((variable, which): Target => {
    const rows = Int32Array.from(count.keys());
    return { which, recorded: rows.filter((row) => !isMissing(variable, row)), missing: rows.filter((row) => isMissing(variable, row)), start: null };
  });
  for (const { which, recorded, missing } of targets) {
    const shared = missing.find((row) => count[row] !== 1);
    if (shared !== undefined) throw new RangeError(`row ${shared}: count must be 1 where ${variables[which]!.name} is missing: ${count[shared]!}`);
    if (recorded.length === 0) return { status: 'notEstimable', reason: `${variables[which]!.name} is not recorded for anyone` };
  }
  const incomplete = targets.filter((t) => t.missing.length > 0).sort((a, b) => a.missing.length - b.missing.length);
  const cycles = incomplete.length < 2 ? 1 : (options.cycles ?? 5);
  return {
    status: 'ok',
    missing: targets.map((t) => t.missing.length),
    completed: Array.from({ length: options.imputations ?? 10 }, (_, k) => complete(variables, count, outcome, incomplete, cycles, new RandomNumbers(options.seed, k))),
  };
}

function complete(
  variables: readonly Variable[], count: Float64Array, outcome: readonly Float64Array[], incomplete: readonly Target[], cycles: number, random: RandomNumbers,
): readonly Variable[] {
  const filled = variables.map((v): Variable => (v.kind === 'measured' ? { ...v, value: v.value.slice() } : { ...v, value: v.value.slice() }));
  const matrix = new PredictorMatrix(variables, outcome, count);
  const fill = ({ which, missing }: Target, values: Int32Array | Float64Array): void => {
    missing.forEach((row, r) => {
      filled[which]!.value[row] = values[r]!;
      matrix.set(variables, which, row, values[r]!);
    });
  };
  for (const target of incomplete) { // at first, values of others at random
    const { value } = variables[target.which]!, upTo = new Float64Array(target.recorded.length);
    target.recorded.forEach((row, r) => { upTo[r] = (upTo[r - 1] ?? 0) + count[row]!; });
    fill(target, Float64Array.from(target.missing, () => value[target.recorded[firstAbove(upTo, random.uniform() * upTo.at(-1)!)]!]!));
  }
  for (let cycle = 0; cycle < cycles; ++cycle) {
    for (const target of incomplete) {
      const variable = variables[target.which]!;
      fill(target, variable.kind === 'measured'
        ? imputeMeasured(variable, variables, count, matrix, target, random)
        : imputeFactor(variable, variables, count, matrix, target, random));
    }
  }
  return filled;
}
