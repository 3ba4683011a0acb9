import { designMatrix } from '../../analysis/designMatrix';
import type { Cells } from '../../stats/cells';
import { hazardRatios } from '../../stats/cox/hazardRatios';
import { sharedFrailty } from '../../stats/frailty/sharedFrailty';
import type { TableOptions } from '../arguments';
import { termRows, termsOf } from './coxModel';
import type { Covariate } from './study';

/** Hazard ratios within clusters, whose hazards are drawn from a gamma distribution of mean 1; a cell for every row. */
export function frailtyJson(cells: Cells, covariates: readonly Covariate[], rows: Int32Array, { ties }: TableOptions) {
  const terms = termsOf(covariates, rows);
  const fit = sharedFrailty(cells, designMatrix(terms, rows.map((_, pattern) => pattern), rows.length), { ties });
  if (fit.status !== 'ok') return fit;
  const ratios = hazardRatios(fit);
  return {
    ties,
    variance: { value: fit.variance, lower: fit.lower, upper: fit.upper },
    test: fit.test,
    terms: termRows(terms, ratios, ratios, false),
    logLik: fit.logLikelihood,
    clusters: fit.clusters,
  };
}
