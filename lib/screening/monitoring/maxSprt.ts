import type { NotEstimable } from '../../stats/cells';
import { maxSprtCriticalValue, maxSprtEvidence, type Watch } from './maxSprtBoundary';

export interface MaxSprtOptions extends Watch {
  /** Chance of any signal by the end although the risk is the usual one; default 0.05. */
  readonly alpha?: number;
}

/** Sequential test for any ratio above 1, for a component or unit whose revisions are looked at as they come. */
export interface MaxSprt {
  readonly status: 'ok';
  readonly criticalValue: number;
  /** Evidence after each step from all revisions so far; it goes on after the signal and the end. */
  readonly value: Float64Array;
  /** The first step with a signal while the watch lasts; null: none. */
  readonly signal: number | null;
  /** The step at which as many revisions were expected as planned, so that without a signal the watch has ended; null: it goes on. */
  readonly ended: number | null;
}

/**
 * Revisions observed and expected in each step. Looked at less often than at every revision, the chance of a false signal is below `alpha`.
 * Revisions not yet reported count as none: let the steps end where reporting is complete. Kulldorff et al. 2011, Seq Anal 30:58.
 */
export function maxSprt(observed: Float64Array, expected: Float64Array, { alpha = 0.05, ...watch }: MaxSprtOptions): MaxSprt | NotEstimable {
  if (observed.length !== expected.length) throw new RangeError(`expected must have one entry per step (${observed.length}): ${expected.length}`);
  const critical = maxSprtCriticalValue(watch, alpha);
  if (critical.status !== 'ok') return critical;
  const value = new Float64Array(observed.length);
  let signal: number | null = null, ended: number | null = null;
  for (let t = 0, o = 0, e = 0; t < value.length; ++t) {
    o += observed[t]!;
    e += expected[t]!;
    value[t] = maxSprtEvidence(o, e);
    if (ended === null && signal === null && e <= watch.planned && o >= watch.fewest && value[t]! >= critical.value) signal = t;
    if (ended === null && e >= watch.planned) ended = t;
  }
  return { status: 'ok', criticalValue: critical.value, value, signal, ended };
}
