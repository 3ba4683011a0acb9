import { continuousTerm, designMatrix, factorTerm, type Term } from '../../analysis/designMatrix';
import { cox, type ChiSquareTest, type CoxFit } from '../../stats/cox/cox';
import { hazardRatios } from '../../stats/cox/hazardRatios';
import { proportionalHazards, type ProportionalHazardsTest } from '../../stats/cox/proportionalHazards';
import { robustCovariance } from '../../stats/cox/robust';
import type { Cells, NotEstimable } from '../../stats/cells';
import type { TableOptions } from '../arguments';
import type { Covariate } from './study';

export const testJson = (test: Pick<ChiSquareTest, 'status' | 'chisq' | 'df' | 'p'> | NotEstimable) =>
  test.status === 'ok' ? { chisq: test.chisq, df: test.df, p: test.p } : { chisq: null, df: null, p: null, ...test };

/** The terms of the model; a pattern for every row. Levels that none of these rows has are no columns. */
export function termsOf(covariates: readonly Covariate[], rows: Int32Array): readonly Term[] {
  return covariates.map(({ name, values }) => {
    if (values instanceof Float64Array) return continuousTerm(name, name, (pattern) => values[rows[pattern]!]!);
    const code = Int32Array.from(rows, (row) => values.code[row]!);
    const present = values.levels.map((level, c) => ({ code: c, level, name: `${name} ${level}` })).filter((level) => code.includes(level.code));
    return factorTerm(name, code, present, present[0]?.code ?? -1);
  });
}

/** The Cox model and its test of proportional hazards; a cell for every row. */
export function coxAndTest(cells: Cells, covariates: readonly Covariate[], rows: Int32Array, { ties }: TableOptions) {
  const terms = termsOf(covariates, rows);
  const fit = cox(cells, designMatrix(terms, rows.map((_, pattern) => pattern), rows.length), { ties });
  if (fit.status !== 'ok') return { cox: fit, ph: fit };
  return { cox: coxJson(fit, terms, cells, ties), ph: testOfTerms(fit, terms) };
}

function coxJson(fit: CoxFit, terms: readonly Term[], cells: Cells, ties: TableOptions['ties']) {
  const robust = cells.cluster ? robustCovariance(fit) : null;
  const usable = robust !== null && 'covariance' in robust ? robust : null;
  const modelBased = hazardRatios(fit);
  const ratios = usable === null ? modelBased : hazardRatios(fit, { covariance: usable.covariance });
  return {
    ties,
    n: fit.procedures,
    events: fit.events,
    terms: termRows(terms, ratios, modelBased, usable !== null),
    logLik: fit.logLikelihood,
    tests: { lr: testJson(fit.tests.likelihoodRatio), wald: testJson(usable?.wald ?? fit.tests.wald), score: testJson(fit.tests.score) },
    clusters: usable?.clusters ?? null,
    notes: [...fit.notes, ...(usable?.notes ?? []), ...(robust !== null && 'reason' in robust ? [`no robust standard errors: ${robust.reason}`] : [])],
  };
}

type Ratios = ReturnType<typeof hazardRatios>;

/** A row per column of the model; `modelBased` has the standard errors that take all rows for independent. */
export function termRows(terms: readonly Term[], ratios: Ratios, modelBased: Ratios, isRobust: boolean) {
  return terms.flatMap(({ term, columns: own }) => own.map(({ level }) => ({ term, level }))).map((column, j) => {
    const ratio = ratios[j]!, plain = modelBased[j]!;
    if (ratio.status !== 'ok' || plain.status !== 'ok') {
      const nothing = { coef: null, se: null, robustSe: null, hr: null, lower: null, upper: null, z: null, p: null };
      return { ...column, ...nothing, status: 'notEstimable', ...('reason' in ratio && { reason: ratio.reason }) };
    }
    return {
      ...column, coef: ratio.coefficient, se: plain.standardError, robustSe: isRobust ? ratio.standardError : null,
      hr: ratio.ratio, lower: ratio.lower, upper: ratio.upper, z: ratio.z, p: ratio.p, status: 'ok',
    };
  });
}

function testOfTerms(fit: CoxFit, terms: readonly Term[]) {
  let from = 0;
  const grouped = terms.map(({ term, columns }) => ({ name: term, columns: columns.map(() => from++) }));
  const { terms: tests, global }: ProportionalHazardsTest = proportionalHazards(fit, 'km', grouped);
  return { transform: 'km', terms: tests.map(({ name, test }) => ({ term: name, ...testJson(test) })), global: testJson(global) };
}
