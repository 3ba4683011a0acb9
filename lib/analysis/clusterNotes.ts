import type { Question } from '../contract/question';
import type { NotEstimable } from '../stats/cells';
import type { RobustCovariance } from '../stats/cox/robust';
import type { HazardRatio } from './result';

/** What allows for clusters; null where none are asked for, or why it can't be had: limits are then the model's own. */
type Robust = RobustCovariance | NotEstimable | null;

/** What is to be known of limits that allow for clusters. */
export const clusterNotes = (robust: Robust, cluster: Question['cluster']): readonly string[] =>
  (robust === null ? [] : robust.status === 'ok' ? robust.notes : [`Limits do not allow for ${cluster}s: ${robust.reason}.`]);

/** The same ratios, each saying so where its limits are the model's own although clusters were to be allowed for. */
export const sayingOwnLimits = (ratios: readonly HazardRatio[], robust: Robust): readonly HazardRatio[] =>
  (robust?.status === 'notEstimable' ? ratios.map((ratio) => ('value' in ratio.estimate ? { ...ratio, ownLimits: robust.reason } : ratio)) : ratios);
