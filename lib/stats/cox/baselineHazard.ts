import { setSums } from '../riskSets';
import type { CoxFit } from './cox';

/** Cumulative hazard of a procedure whose covariates equal `centre`; a step function, 0 before the first time of its stratum. */
export interface BaselineHazard {
  /** Covariates of the baseline, per column: their means. At covariates x, multiply by e^((x − centre)′β). */
  readonly centre: Float64Array;
  /** Event times, ascending within each stratum, stratum after stratum. */
  readonly time: Float64Array;
  readonly stratum: Int32Array;
  readonly cumulativeHazard: Float64Array;
}

/** The estimate that belongs to the fit's rule for ties. Breslow 1972, J R Stat Soc B 34:216; with Efron's denominators where the fit has them. */
export function baselineHazard({ state: { model, ties } }: CoxFit): BaselineHazard {
  const { sets, centre } = model;
  return {
    centre,
    time: sets.time,
    stratum: sets.stratum,
    cumulativeHazard: setSums(ties.hazard, sets).running,
  };
}
