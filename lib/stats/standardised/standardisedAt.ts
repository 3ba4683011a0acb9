import type { PercentAtTime, PercentEstimate } from '../cumulativePercentRevision';
import { cumulativeEvents, numberAtRisk } from '../eventTable';
import { survivalLimits } from '../survivalLimits';
import { survivalAt } from './functional';
import { jointly, type StandardisedOptions } from './jointly';
import type { Standardisation } from './standardisation';

/** All groups at one time: number at risk and events are the group's own, percents are those standardised to the whole cohort. */
export interface StandardisedAt {
  readonly time: number;
  readonly groups: readonly (PercentAtTime & { readonly group: string })[];
  /** Of the survival probabilities (0–1), groups × groups; 0 where a group has no estimate. */
  readonly covariance: Float64Array;
}

/**
 * Cumulative percent revision of each group as it would be with the case mix of the whole cohort: the mean of 1 − exp(−Λ(t) e^(x′β)) over it.
 * Limits on the log(−log) scale from influence functions, which allow for clusters and for the case mix being a sample.
 * Standardisation of Cox models: Chang, Gelman & Pagano 1982, J Chronic Dis 35:669; Zhang et al. 2007, Contemp Clin Trials 28:750.
 */
export function standardisedAt(standardisation: Standardisation, time: number, { confidence = 0.95, stops }: StandardisedOptions = {}): StandardisedAt {
  const { groups, tables } = standardisation;
  const { functionals, covariance } = jointly(standardisation, time, stops, (g) => survivalAt(standardisation, g, time));
  return {
    time,
    covariance,
    groups: groups.map((group, g) => {
      const table = tables[g]!, atRisk = numberAtRisk(table, time), functional = functionals[g]!;
      const estimate = 'status' in functional ? functional : percentEstimate(functional.value, covariance[g * (groups.length + 1)]!, atRisk, confidence);
      return { group, time, atRisk, events: cumulativeEvents(table, time), estimate };
    }),
  };
}

const rounding = 1e-12; // shares of the case mix do not add up to 1 exactly

function percentEstimate(mean: number, variance: number, atRisk: number, confidence: number): PercentEstimate {
  const survival = 1 - mean < rounding ? 1 : mean;
  const { lower, upper } = survivalLimits(survival, variance / survival ** 2, atRisk, confidence, 'log-log');
  return {
    status: 'ok',
    percent: 100 * (1 - survival),
    standardError: survival === 1 ? 0 : Math.sqrt(variance),
    lower: 100 * (1 - upper),
    upper: 100 * (1 - lower),
    noEvents: survival === 1,
  };
}
