import { normalQuantile } from '../distributions/normal';

export interface ErrorRates {
  /** Chance of a false alarm, two-sided, 0–1; default 0.05. */
  readonly alpha?: number;
  /** Chance of seeing what is there, 0–1; default 0.8. */
  readonly power?: number;
}

/**
 * Events in both groups together at which a log-rank or Cox comparison sees the hazard ratio; `share` of the procedures, 0–1, is in one group.
 * Schoenfeld 1983, Biometrics 39:499.
 */
export function eventsNeeded(hazardRatio: number, share: number, error: ErrorRates = {}): number {
  if (!(hazardRatio > 0)) throw new RangeError(`hazardRatio must be above 0: ${hazardRatio}`);
  return (quantiles(error) / Math.log(hazardRatio)) ** 2 / spread(share);
}

/** The hazard ratio above 1 (or its inverse below 1) that so many events in both groups together let one see. Infinity without events. */
export function detectableHazardRatio(events: number, share: number, error: ErrorRates = {}): number {
  return Math.exp(quantiles(error) / Math.sqrt(events * spread(share)));
}

const quantiles = ({ alpha = 0.05, power = 0.8 }: ErrorRates): number => normalQuantile(power) - normalQuantile(alpha / 2);

function spread(share: number): number {
  if (!(share > 0 && share < 1)) throw new RangeError(`share must be above 0 and below 1: ${share}`);
  return share * (1 - share);
}
