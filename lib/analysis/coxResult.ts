import type { Question } from '../contract/question';
import { clusteredCox } from '../stats/cox/clusteredCox';
import type { CoxFit } from '../stats/cox/cox';
import { hazardRatios } from '../stats/cox/hazardRatios';
import { proportionalHazards } from '../stats/cox/proportionalHazards';
import type { NotEstimable } from '../stats/cells';
import { againstReference } from './againstReference';
import type { Model, ModelTerm } from './model';
import type { CoxResult } from './result';

type Described = Pick<CoxResult, 'adjustedFor' | 'reference' | 'leftOut' | 'notes'>;

/** Fits the model with Efron's rule for ties, robust limits where the question names a cluster, and the test of proportional hazards. */
export function coxResult({ cohort, terms, design, notes }: Model, described: Described, { cluster, confidence }: Question): CoxResult | NotEstimable {
  const fitted = clusteredCox(cohort.cells, design);
  if (fitted.status !== 'ok') return fitted;
  const { fit, robust } = fitted;
  const allowsForClusters = robust !== null && 'covariance' in robust;
  const ratios = hazardRatios(fit, { confidence, ...(allowsForClusters && { covariance: robust.covariance }) });
  const numbered = numberedColumns(terms);
  const tests = testsOf(fit, numbered);
  return {
    status: 'ok',
    ...described,
    procedures: fit.procedures,
    events: fit.events,
    clusterLabel: allowsForClusters ? cluster : null,
    clusters: allowsForClusters ? robust.clusters : 0,
    ratios: numbered.flatMap(({ term, columns: [first] }) => againstReference(term, ratios, first!, cohort)),
    proportionalHazards: tests,
    groupsProportional: !('status' in tests) && !tests.some(({ term, p }) => term === 'group' && p < 0.05),
    notes: [
      ...described.notes, ...notes, ...fit.notes,
      ...(allowsForClusters ? robust.notes : []),
      ...(robust !== null && 'reason' in robust ? [`Limits do not allow for ${cluster}s: ${robust.reason}.`] : []),
    ],
  };
}

interface NumberedTerm { readonly term: ModelTerm; readonly columns: readonly number[] }

/** Each term with the positions of its columns in the design. */
function numberedColumns(terms: readonly ModelTerm[]): readonly NumberedTerm[] {
  let next = 0;
  return terms.map((term) => ({ term, columns: term.columns.map(() => next++) }));
}

/** The tests per term that can be had, then the global one. */
function testsOf(fit: CoxFit, terms: readonly NumberedTerm[]): CoxResult['proportionalHazards'] {
  const { terms: tests, global } = proportionalHazards(fit, 'km', terms.map(({ term, columns }) => ({ name: term.term, columns })));
  if (global.status !== 'ok') return global;
  const perTerm = tests.flatMap(({ name, test }, i) => (test.status === 'ok' ? [{ term: name, label: terms[i]!.term.label, test }] : []));
  return [...perTerm, { term: 'global', label: 'All terms together', test: global }]
    .map(({ term, label, test: { chisq, df, p } }) => ({ term, label, chisq, df, p }));
}
