import type { Question } from '../contract/question';
import { logRank } from '../stats/logRank';
import type { NotEstimable } from '../stats/cells';
import type { CohortToModel } from './askedModel';
import type { CohortCells } from './cohortCells';
import { coxRatios, coxResult } from './coxResult';
import { byGroup, byPattern, groupModels } from './groupModels';
import { periodRatios } from './periodRatios';
import type { Analysis, AnsweredRatios, LogRank } from './result';
import type { Step } from './step';

type FirstCompared = Pick<AnsweredRatios, 'logRank' | 'adjusted'>;
type Compared = Pick<Analysis, 'logRank' | 'unadjusted' | 'adjusted' | 'periods'>;

/**
 * Tests and ratios of the groups (`groupModels` says of whom). `step` is told what comes next.
 * @param onRatios hears of the test and the adjusted ratios as soon as they are known
 */
export async function compareGroups(
  asked: CohortToModel, question: Question, step: Step, onRatios: (ratios: FirstCompared) => void = () => undefined,
): Promise<Compared> {
  const { cohort, groups, adjustments, strata } = asked, models = groupModels(asked);
  if (groups.length < 2) return nothing('there is only one group');
  const logRankTest = testOf(strata.length > 0 ? byPattern(cohort, strata.map((s) => s.codes)) : byGroup(cohort), groups.length, strata.length > 0);
  if (models.status !== 'ok') return { ...nothing(models.reason), logRank: logRankTest };
  const { plain, adjusted: model, described } = models;
  const same = adjustments.length > 0 && !('reason' in model) ? ['Fitted to the same procedures as the adjusted model.'] : [];
  const unadjustedResult = () => coxResult(plain, { ...described, adjustedFor: [], notes: same }, question);
  if ('reason' in model) return { ...nothing(model.reason), logRank: logRankTest, unadjusted: unadjustedResult() };
  const fitted = coxRatios(model, { ...described, notes: model === plain ? same : [] }, question);
  onRatios({ logRank: logRankTest, adjusted: fitted.status === 'ok' ? fitted.ratios : fitted });
  await step('Testing whether the ratios hold at all times', 0.5);
  const adjusted = fitted.status === 'ok' ? fitted.tested() : fitted;
  await step('Comparing without adjustment', 0.6);
  const unadjusted = model === plain ? adjusted : unadjustedResult();
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
