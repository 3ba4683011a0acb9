import { causeOfInterest } from '../causeOfInterest';
import type { Cells, Design, NotEstimable } from '../cells';
import { fitCox, type CoxFit, type CoxOptions } from '../cox/cox';
import { coxModel } from '../cox/coxModel';
import { robustCovariance, type RobustCovariance } from '../cox/robust';
import { competingMembers } from './competingMembers';

export interface FineGrayFit {
  readonly status: 'ok';
  /**
   * Log subdistribution hazard ratios. Its own covariance and tests are not valid, since the weights are estimated once for many members:
   * show ratios with `hazardRatios(fit, { covariance: robust.covariance })` and test with `robust.wald`.
   */
  readonly fit: CoxFit;
  /** Over clusters; takes the weights for known. */
  readonly robust: RobustCovariance;
}

export interface FineGrayOptions extends CoxOptions {
  /** Default 1, the event of interest; all others compete. */
  readonly cause?: number;
  /** Per cell, within what follow-up is alike; default: the strata. Groups with unlike length of follow-up should be told apart. */
  readonly censoringGroup?: Int32Array;
}

/**
 * Proportional subdistribution hazards: those with a competing event stay in the risk sets with the weight Ĝ(t−)Ĥ(t−)/(Ĝ(T−)Ĥ(T−)) that they
 * would still be under follow-up; at equal times events come before censorings. Each procedure has one cell: follow-up must not be split.
 * Fine & Gray 1999, J Am Stat Assoc 94:496; weights, delayed entry and robust errors as in Geskus 2011, Biometrics 67:39;
 * strata as in Zhou et al. 2011, Biometrics 67:661.
 */
export function fineGray(cells: Cells, design: Design, options: FineGrayOptions = {}): FineGrayFit | NotEstimable {
  const { ties = 'efron', cause = 1 } = options;
  const own = causeOfInterest(cells, cause);
  if (!own.event.includes(1)) return { status: 'notEstimable', reason: 'no events of this cause' };
  const model = coxModel(own, design, ties);
  const lingering = competingMembers(own, model.sets, options.censoringGroup ?? cells.stratum ?? new Int32Array(cells.exit.length));
  if (!lingering) return { status: 'notEstimable', reason: 'before some competing event nobody was followed who had entered earlier, so those gone cannot be weighted' };
  const fit = fitCox({ ...model, lingering });
  if (fit.status !== 'ok') return fit;
  const robust = robustCovariance(fit);
  return robust.status === 'ok' ? { status: 'ok', fit, robust } : robust;
}
