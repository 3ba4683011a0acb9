import { eventCode } from '../../cohort/outcome';
import type { NotEstimable } from '../../stats/cells';
import { grayTest } from '../../stats/grayTest';
import { subset } from '../../stats/subset';
import type { AskedCohort } from '../askedCohort';
import { stratified } from '../strata';
import type { CompetingRisks, GrayTest } from './competingRisksResult';

/** The test knows no late entry: it is of the procedures followed from the day of surgery. */
export function grayTests({ cohort, groups, strata }: AskedCohort): CompetingRisks['gray'] {
  const { cells, group } = stratified(cohort, strata.map((s) => s.codes)), { entry, count } = cells;
  const fromStart = Int32Array.from(group.keys()).filter((i) => !entry || entry[i]! < 0);
  const { exit, event, stratum, count: counts } = subset(cells, fromStart);
  const followed = { exit, event, count: counts, ...(stratum && { stratum }) };
  const groupOf = Int32Array.from(fromStart, (i) => group[i]!);
  const procedures = counts.reduce((sum, n) => sum + n, 0), leftOut = count.reduce((sum, n) => sum + n, 0) - procedures;
  const test = (cause: number): GrayTest | NotEstimable => {
    if (groups.length < 2) return { status: 'notEstimable', reason: 'there is only one group' };
    const result = grayTest(followed, groupOf, groups.length, cause);
    return result.status === 'ok' ? { status: 'ok', chisq: result.chisq, df: result.df, p: result.p, procedures, leftOut } : result;
  };
  return { revision: test(eventCode.ofInterest), death: test(eventCode.death) };
}
