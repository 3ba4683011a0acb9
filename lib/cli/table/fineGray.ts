import { designMatrix } from '../../analysis/designMatrix';
import type { Cells } from '../../stats/cells';
import { hazardRatios } from '../../stats/cox/hazardRatios';
import { fineGray } from '../../stats/fineGray/fineGray';
import type { TableOptions } from '../arguments';
import { termRows, termsOf, testJson } from './coxModel';
import type { Covariate } from './study';

/** Subdistribution hazard ratios of event 1; a cell for every row. Its standard errors are robust ones throughout. */
export function fineGrayJson(cells: Cells, covariates: readonly Covariate[], rows: Int32Array, { ties }: TableOptions) {
  const terms = termsOf(covariates, rows);
  const fitted = fineGray(cells, designMatrix(terms, rows.map((_, pattern) => pattern), rows.length), { ties });
  if (fitted.status !== 'ok') return fitted;
  const { fit, robust } = fitted, ratios = hazardRatios(fit, { covariance: robust.covariance });
  return {
    ties,
    n: fit.procedures,
    events: fit.events,
    terms: termRows(terms, ratios, ratios, true),
    tests: { wald: testJson(robust.wald) },
    clusters: robust.clusters,
    notes: [...fit.notes, ...robust.notes],
  };
}
