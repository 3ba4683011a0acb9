import type { NotEstimable } from '../../stats/cells';
import { poissonLimits } from '../../stats/rates';
import { midPLimits, poissonTails, type TailP } from './midP';

/**
 * Observed over expected revisions of one unit. The expected number is taken as known. Ratios of two units are not comparable with each
 * other, as each is weighted by its own case mix: each stands against the reference only.
 */
export interface StandardisedRatio {
  readonly status: 'ok';
  readonly observed: number;
  readonly expected: number;
  readonly ratio: number;
  /** Exact limits: Garwood 1936, Biometrika 28:437; Ulm 1990, Am J Epidemiol 131:373. */
  readonly lower: number;
  readonly upper: number;
  readonly midP: { readonly lower: number; readonly upper: number };
  /** Chance, where the unit is like the reference, of as many revisions or more (`higher`) and of as few or fewer (`lower`). */
  readonly p: { readonly higher: TailP; readonly lower: TailP };
}

/** `observed` is a whole number. */
export function standardisedRatio(observed: number, expected: number, confidence = 0.95): StandardisedRatio | NotEstimable {
  if (!(Number.isInteger(observed) && observed >= 0)) throw new RangeError(`observed must be a whole number of at least 0: ${observed}`);
  if (!(expected >= 0 && expected < Infinity)) throw new RangeError(`expected must be a finite number of at least 0: ${expected}`);
  if (expected === 0) return { status: 'notEstimable', reason: 'no revisions are expected' };
  const over = ({ lower, upper }: { lower: number; upper: number }) => ({ lower: lower / expected, upper: upper / expected });
  return {
    status: 'ok', observed, expected,
    ratio: observed / expected,
    ...over(poissonLimits(observed, confidence)),
    midP: over(midPLimits(observed, confidence)),
    p: poissonTails(observed, expected),
  };
}
