import type { NotEstimable } from '../stats/cells';
import type { CohortToModel } from './askedModel';
import type { CohortCells } from './cohortCells';
import { completeCases, nowhereRecorded } from './completeCases';
import { mergeCells } from './mergeCells';
import { modelOf, type Model } from './model';
import type { CoxResult } from './result';
import { stratified } from './strata';

/** The models of the groups, with what is to be said of them. */
export interface GroupModels {
  readonly status: 'ok';
  readonly plain: Model; // nothing is adjusted for
  readonly adjusted: Model | NotEstimable; // `plain` where the question adjusts for nothing
  readonly described: Pick<CoxResult, 'adjustedFor' | 'reference' | 'leftOut'>; // of the adjusted one
}

/**
 * Both models are of the procedures with every covariate recorded, so that they differ by the adjustment alone; strata are part of the adjustment.
 * Where a covariate is nowhere recorded nothing is adjusted, and the plain model is that of everyone.
 */
export function groupModels({ cohort, groups, reference, adjustments, strata }: CohortToModel): GroupModels | NotEstimable {
  if (groups.length < 2) return { status: 'notEstimable', reason: 'there is only one group' };
  const missing = nowhereRecorded(cohort, adjustments), { cohort: complete, leftOut } = completeCases(cohort, missing === null ? adjustments : []);
  if (!complete.group.includes(groups.findIndex((group) => group.key === reference))) {
    return { status: 'notEstimable', reason: 'no procedure of the reference group has every covariate recorded' };
  }
  const plain = modelOf(byGroup(complete), groups, reference, []), isAdjusted = adjustments.length > 0 || strata.length > 0;
  return {
    status: 'ok', plain,
    adjusted: missing !== null ? { status: 'notEstimable', reason: missing }
      : isAdjusted ? modelOf(byPattern(complete, strata.map((s) => s.codes)), groups, reference, adjustments) : plain,
    described: { reference, leftOut, adjustedFor: [...adjustments.map((a) => a.coding.label), ...strata.map((s) => `${s.label} (stratified)`)] },
  };
}

export const byGroup = (cells: CohortCells): CohortCells => mergeCells(cells, cells.groupOfPattern);

/** In the strata of these factors. */
export const byPattern = (cells: CohortCells, strata: readonly Int32Array[]): CohortCells =>
  stratified(cells.competing === 'together' ? cells : mergeCells(cells, Int32Array.from(cells.groupOfPattern.keys())), strata);
