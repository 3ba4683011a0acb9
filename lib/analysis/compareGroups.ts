import type { Question } from '../contract/question';
import { logRank } from '../stats/logRank';
import type { NotEstimable } from '../stats/cells';
import type { CohortToModel } from './askedModel';
import type { CohortCells } from './cohortCells';
import { completeCases, nowhereRecorded } from './completeCases';
import { coxRatios, coxResult } from './coxResult';
import { mergeCells } from './mergeCells';
import { modelOf } from './model';
import { periodRatios } from './periodRatios';
import type { Analysis, FirstAnswer, LogRank } from './result';
import type { Step } from './step';
import { stratified } from './strata';

type Compared = Pick<Analysis, 'logRank' | 'unadjusted' | 'adjusted' | 'periods'>;
type FirstCompared = Pick<FirstAnswer, 'logRank' | 'adjusted'>;

/**
 * Tests and ratios of the groups. Both models are fitted to the procedures with every covariate recorded, so that they differ by the
 * adjustment alone; strata are part of the adjustment. Where a covariate is nowhere recorded nothing is adjusted, and the unadjusted model is
 * that of everyone. `step` is told what comes next.
 * @param onFirst hears of the test and the adjusted ratios as soon as they are known
 */
export async function compareGroups(
  { cohort, groups, reference, adjustments, strata }: CohortToModel, question: Question, step: Step, onFirst: (first: FirstCompared) => void = () => undefined,
): Promise<Compared> {
  if (groups.length < 2) return nothing('there is only one group');
  const missing = nowhereRecorded(cohort, adjustments), { cohort: complete, leftOut } = completeCases(cohort, missing === null ? adjustments : []);
  const byGroup = (cells: CohortCells) => mergeCells(cells, cells.groupOfPattern);
  const byPattern = (cells: CohortCells) => stratified(mergeCells(cells, Int32Array.from(cells.groupOfPattern.keys())), strata.map((s) => s.codes));
  const logRankTest = testOf(strata.length > 0 ? byPattern(cohort) : byGroup(cohort), groups.length, strata.length > 0);
  if (!complete.group.includes(groups.findIndex((group) => group.key === reference))) {
    return { ...nothing('no procedure of the reference group has every covariate recorded'), logRank: logRankTest };
  }
  const described = { reference, leftOut };
  const same = adjustments.length > 0 && missing === null ? ['Fitted to the same procedures as the adjusted model.'] : [];
  const isAdjusted = adjustments.length > 0 || strata.length > 0;
  const plain = modelOf(byGroup(complete), groups, reference, []), unadjustedResult = () => coxResult(plain, { ...described, adjustedFor: [], notes: same }, question);
  if (missing !== null) return { ...nothing(missing), logRank: logRankTest, unadjusted: unadjustedResult() };
  const model = isAdjusted ? modelOf(byPattern(complete), groups, reference, adjustments) : plain;
  const adjustedFor = [...adjustments.map((a) => a.coding.label), ...strata.map((s) => `${s.label} (stratified)`)];
  const fitted = coxRatios(model, { ...described, adjustedFor, notes: isAdjusted ? [] : same }, question);
  onFirst({ logRank: logRankTest, adjusted: fitted.status === 'ok' ? fitted.ratios : fitted });
  await step('Testing whether the ratios hold at all times', 0.5);
  const adjusted = fitted.status === 'ok' ? fitted.tested() : fitted;
  await step('Comparing without adjustment', 0.6);
  const unadjusted = isAdjusted ? unadjustedResult() : adjusted;
  await step('Comparing the groups period by period', 0.7);
  return { logRank: logRankTest, unadjusted, adjusted, periods: periodRatios(model, question) };
}

function nothing(reason: string): Compared {
  const notEstimable: NotEstimable = { status: 'notEstimable', reason };
  return { logRank: notEstimable, unadjusted: notEstimable, adjusted: notEstimable, periods: notEstimable };
}

function testOf({ cells, group }: CohortCells, groups: number, isStratified: boolean): LogRank | NotEstimable {
  const test = logRank(cells, group, groups);
  return test.status === 'ok' ? { status: 'ok', chisq: test.chisq, df: test.df, p: test.p, stratified: isStratified } : test;
}
