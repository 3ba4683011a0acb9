import type { NotEstimable } from '../cells';
import type { CoxModel } from './coxModel';

/** Why a coefficient has no estimate. */
export interface TermNotEstimable extends NotEstimable {
  /**
   * `constant`: the same for all, or for all who were at risk together; `collinear`: a combination of other columns;
   * `noEvents`: one side of a two-valued column, or the reference level of several, has no event; `separated`: any other ratio without bound.
   */
  readonly cause: 'constant' | 'collinear' | 'noEvents' | 'separated';
  /** The other columns that it is bound up with. */
  readonly others: readonly number[];
}

const listed = (model: CoxModel, columns: readonly number[]): string => columns.map((j) => model.design.names[j]!).join(', ');

/** Why column j, a combination of `others` within the risk sets, was left out. */
export function collinearReason(model: CoxModel, j: number, others: readonly number[]): TermNotEstimable {
  const name = model.design.names[j]!;
  if (others.length > 0) {
    return { status: 'notEstimable', cause: 'collinear', others, reason: `${name} is already determined by ${listed(model, others)}, so its own effect cannot be told apart` };
  }
  const varies = model.x.some((_, k) => k % model.columns === j && model.x[k] !== model.x[j]);
  const reason = varies
    ? `at every revision, all procedures at risk had the same ${name}`
    : `all procedures have the same value of ${name}`;
  return { status: 'notEstimable', cause: 'constant', others, reason };
}

/** Why the coefficient of column j grows without bound; `diverging` are all columns that do, `beta` is where they were held. */
export function divergingReason(model: CoxModel, j: number, diverging: readonly number[], beta: Float64Array): TermNotEstimable {
  const others = diverging.filter((i) => i !== j), name = model.design.names[j]!;
  const noEvents = (reason: string): TermNotEstimable => ({ status: 'notEstimable', cause: 'noEvents', others, reason });
  const sides = tally(model, (p) => model.design.values[p * model.columns + j]!);
  if (sides.size === 2) {
    const [low, high] = [...sides.keys()].sort((a, b) => a - b) as [number, number];
    const below = sides.get(low)!, above = sides.get(high)!;
    const which = (value: number): string => (low === 0 && high === 1 ? `${value === 1 ? 'with' : 'without'} ${name}` : `with ${name} = ${value}`);
    if (above.events === 0) return noEvents(`no revisions among the ${above.procedures} procedures ${which(high)}`);
    if (below.events === 0) return noEvents(`no revisions among the ${below.procedures} procedures ${which(low)} to compare with`);
  }
  const reference = tally(model, (p) => Number(diverging.some((i) => model.design.values[p * model.columns + i] !== 0))).get(0);
  if (sides.size === 2 && others.length > 0 && reference?.events === 0) {
    return noEvents(`no revisions among the ${reference.procedures} procedures of the reference level of ${listed(model, diverging)}`);
  }
  const rising = beta[j]! > 0;
  const reason = sides.size === 2 && others.length === 0
    ? `as long as procedures ${rising ? 'with' : 'without'} ${name} were at risk, every revision was among them, so the ratio has no bound`
    : `the revisions came strictly in the order of ${listed(model, [j, ...others])}, so the ratio has no bound`;
  return { status: 'notEstimable', cause: 'separated', others, reason };
}

/**
 * Whether next to nothing is known of the coefficient of column j although it has a maximum: its standard error is above 20 on the scaled
 * covariate, so that 95 % limits span more than 30 powers of ten, and not because columns are much alike, as it was far smaller in the null model.
 */
export const isVague = (variance: number, nullVariance: number): boolean => variance > 400 && variance > 1000 * nullVariance;

export function vagueReason(model: CoxModel, j: number): TermNotEstimable {
  const reason = `${model.design.names[j]!} sorts the revised from those still at risk almost without exception, so the ratio could be anything`;
  return { status: 'notEstimable', cause: 'separated', others: [], reason };
}

/** Procedures and events of the model by a value that each pattern has. */
function tally(model: CoxModel, valueOf: (pattern: number) => number): Map<number, { procedures: number; events: number }> {
  const { cells: { event, count }, design: { pattern } } = model;
  const result = new Map<number, { procedures: number; events: number }>();
  pattern.forEach((p, i) => {
    const value = valueOf(p), entry = result.get(value) ?? { procedures: 0, events: 0 };
    entry.procedures += count[i]!;
    if (event[i] === 1) entry.events += count[i]!;
    result.set(value, entry);
  });
  return result;
}
