import type { Estimate } from '../analysis/result';

/** Whether there is an estimate, or a reason why there is none. */
export const isEstimate = (estimate: object): estimate is Estimate => 'value' in estimate;

/** Both limits are numbers: one may lie where the data set none. */
export const hasLimits = ({ lower, upper }: Estimate): boolean => Number.isFinite(lower) && Number.isFinite(upper);
