import type { Design, NotEstimable } from '../../stats/cells';
import { baselineHazard } from '../../stats/cox/baselineHazard';
import type { CoxFit } from '../../stats/cox/cox';
import { firstAbove } from '../../stats/distinctTimes';
import { comparableValues, isComparable, type ComparableValues } from './comparableValues';

/** What the reference procedures say of the revisions to expect, stratum by stratum. */
export interface ReferenceHazard {
  readonly status: 'ok';
  readonly fit: CoxFit;
  /** By the stratum's number in the cells; a stratum without reference procedures is missing. */
  readonly strata: ReadonlyMap<number, ReferenceStratum>;
  /** What a procedure must look like for the reference to know its hazard. */
  readonly comparable: readonly ComparableValues[];
}

/** A step function of the time since surgery, 0 before the first step. */
export interface ReferenceStratum {
  readonly time: Float64Array;
  readonly cumulativeHazard: Float64Array;
  /** Nothing is known after this time. */
  readonly reach: number;
}

/**
 * The reference hazard of a Cox fit, or the Nelson–Aalen estimate per stratum where the fit has no covariates. Fitted with Breslow's rule for
 * ties, it expects of the reference procedures together exactly the revisions they had. `until`: not used beyond this time.
 */
export function referenceHazard(fit: CoxFit, until = Infinity): ReferenceHazard | NotEstimable {
  const comparable = comparableValues(fit);
  if ('status' in comparable) return comparable;
  const { cells } = fit.state.model, { time, stratum, cumulativeHazard } = baselineHazard(fit);
  const lastExit = new Map<number, number>();
  cells.exit.forEach((exit, i) => {
    const s = cells.stratum?.[i] ?? 0;
    lastExit.set(s, Math.max(exit, lastExit.get(s) ?? 0));
  });
  const strata = new Map<number, ReferenceStratum>();
  for (const [s, last] of lastExit) {
    const from = stratum.indexOf(s), to = stratum.lastIndexOf(s) + 1;
    const part = (values: Float64Array): Float64Array => (from < 0 ? new Float64Array(0) : values.subarray(from, to));
    strata.set(s, { time: part(time), cumulativeHazard: part(cumulativeHazard), reach: Math.min(last, until) });
  }
  return { status: 'ok', fit, strata, comparable };
}

export function cumulativeHazardAt({ time, cumulativeHazard }: ReferenceStratum, t: number): number {
  const steps = firstAbove(time, t);
  return steps === 0 ? 0 : cumulativeHazard[steps - 1]!;
}

/** By pattern of a design with the columns of the fit: its hazard as a multiple of the baseline's; NaN where the reference cannot tell. */
export function relativeHazards({ fit, comparable }: ReferenceHazard, { names, values }: Design): Float64Array {
  if (names.join('\n') !== fit.names.join('\n')) throw new RangeError(`columns must be those of the reference (${fit.names.join(', ')}): ${names.join(', ')}`);
  const { columns, centre, scale } = fit.state.model;
  if (columns === 0) return Float64Array.of(1);
  return Float64Array.from({ length: values.length / columns }, (_, p) => {
    const row = values.subarray(p * columns, (p + 1) * columns);
    if (!isComparable(comparable, row)) return NaN;
    return Math.exp(row.reduce((linear, v, j) => linear + ((v - centre[j]!) / scale[j]!) * fit.state.beta[j]!, 0));
  });
}
