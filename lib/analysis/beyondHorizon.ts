import type { NotEstimable } from '../stats/cells';

/** What stands where a time was asked for that lies past the horizon. */
export const beyondHorizon = (horizonYears: number): NotEstimable =>
  ({ status: 'notEstimable', reason: horizonYears === 1 ? 'beyond the one year that is looked at' : `beyond the ${horizonYears} years that are looked at` });
