import type { HazardRatio } from '../analysis/result';

const said = 'limits do not allow for clusters';

/** Said beside a ratio whose limits are the model's own although clusters were to be allowed for. */
export const ownLimitsWords = ({ ownLimits }: HazardRatio): string | null => (ownLimits === undefined ? null : said);

/** What names the ratio in a table, with that and why. */
export const ratioLabel = ({ ownLimits }: HazardRatio, label: string): string => (ownLimits === undefined ? label : `${label} (${said}: ${ownLimits})`);
