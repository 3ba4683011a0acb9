import type { HazardRatio } from '../analysis/result';

/** Said beside a ratio whose limits are the model's own although clusters were to be allowed for. */
export const ownLimitsWords = ({ ownLimits }: HazardRatio): string | null => (ownLimits === undefined ? null : 'limits do not allow for clusters');

/** What names the ratio in a table, with that and why. */
export function ratioLabel(ratio: HazardRatio, label = ratio.label): string {
  const said = ownLimitsWords(ratio);
  return said === null ? label : `${label} (${said}: ${ratio.ownLimits ?? ''})`;
}
