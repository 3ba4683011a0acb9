import type { Question } from '../contract/question';
import { clusteredCox } from '../stats/cox/clusteredCox';
import type { CoxFit } from '../stats/cox/cox';
import { hazardRatios } from '../stats/cox/hazardRatios';
import { proportionalHazards } from '../stats/cox/proportionalHazards';
import type { NotEstimable } from '../stats/cells';
import { againstReference } from './againstReference';
import { clusterNotes, sayingOwnLimits } from './clusterNotes';
import type { Model, ModelTerm } from './model';
import type { CoxRatios, CoxResult } from './result';

type Described = Pick<CoxResult, 'adjustedFor' | 'reference' | 'leftOut' | 'notes'>;

/** Fits the model with Efron's rule for ties, robust limits where the question names a cluster, and the test of proportional hazards. */
export function coxResult(model: Model, described: Described, question: Question): CoxResult | NotEstimable {
  const fitted = coxRatios(model, described, question);
  return fitted.status === 'ok' ? fitted.tested() : fitted;
}

/** The ratios of a model; its assumption is tested when that is asked for. */
export interface FittedRatios { readonly status: 'ok'; readonly ratios: CoxRatios; readonly tested: () => CoxResult }

export function coxRatios({ cohort, terms, design, notes }: Model, described: Described, { cluster, confidence }: Question): FittedRatios | NotEstimable {
  const fitted = clusteredCox(cohort.cells, design);
  if (fitted.status !== 'ok') return fitted;
  const { fit, robust } = fitted;
  const allowsForClusters = robust?.status === 'ok';
  const ratios = hazardRatios(fit, { confidence, ...(allowsForClusters && { covariance: robust.covariance }) });
  const numbered = numberedColumns(terms);
  const found: CoxRatios = {
    status: 'ok',
    ...described,
    procedures: fit.procedures,
    events: fit.events,
    clusterLabel: allowsForClusters ? cluster : null,
    clusters: allowsForClusters ? robust.clusters : 0,
    ratios: sayingOwnLimits(numbered.flatMap(({ term, columns: [first] }) => againstReference(term, ratios, first!, cohort)), robust),
    notes: [
      ...described.notes, ...notes, ...fit.notes, ...clusterNotes(robust, cluster),
    ],
  };
  const tested = (): CoxResult => {
    const tests = testsOf(fit, numbered);
    return { ...found, proportionalHazards: tests, groupsProportional: !('status' in tests) && !tests.some(({ term, p }) => term === 'group' && p < 0.05) };
  };
  return { status: 'ok', ratios: found, tested };
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
