import { atTime } from '../analysis/atTime';
import { cellsWhere } from '../analysis/cellsWhere';
import { compareGroups } from '../analysis/compareGroups';
import { completeWherePossible } from '../analysis/completeCases';
import { curveOf } from '../analysis/curve';
import { groupSurvival } from '../analysis/groupSurvival';
import type { Analysis, AtTime, Curve } from '../analysis/result';
import { riskTable } from '../analysis/riskTable';
import { stepOf, type AnalysisOptions, type Step } from '../analysis/step';
import { daysOfYears } from '../cohort/days';
import type { Question } from '../contract/question';
import type { Cells, NotEstimable } from '../stats/cells';
import { curveBounds, type Bounds } from './curveBounds';
import { pooledCohort, type NothingToPool, type PooledCohort, type RegistryPart } from './pooledCohort';

/** The curves of one registry or of all. Percentages 0–100, times in whole days, as in `Analysis`. */
export interface PooledCurves { readonly curves: readonly Curve[]; readonly atTimes: readonly AtTime[]; readonly riskTable: Analysis['riskTable'] }

/** Several registries analysed as their rows together would be. Every test and ratio is stratified by registry. */
export interface PooledAnalysis extends PooledCurves, Pick<Analysis, 'logRank' | 'unadjusted' | 'adjusted' | 'periods' | 'reference' | 'notes'> {
  readonly status: 'ok';
  readonly question: Question; // `cluster` none: no file tells whose procedures belong together
  readonly groups: readonly { readonly key: string; readonly label: string; readonly procedures: number; readonly events: number }[];
  readonly byRegistry: readonly (PooledCurves & { readonly registry: string; readonly procedures: number; readonly events: number })[];
  /** Where the days of a file are coarse: what the estimates at the times asked for would be by the exact days lies between these. */
  readonly bounds: readonly (Bounds & { readonly group: string; readonly years: number })[];
}

/**
 * Curves of the groups over all registries and in each; the log-rank test and the Cox model with a baseline hazard for each registry. Throws the
 * signal's reason when aborted.
 */
export async function poolCounts(parts: readonly RegistryPart[], asked: Question, options: AnalysisOptions = {}): Promise<PooledAnalysis | NothingToPool> {
  const step = stepOf(options), question: Question = { ...asked, cluster: 'none' };
  await step('Joining the registries', 0);
  const pooled = pooledCohort(parts, question);
  if (pooled.status === 'empty') return pooled;
  const { cohort, groups, reference, registryOfPattern, told } = pooled;
  await step('Estimating curves', 0.3);
  const keys = groups.map(({ key }) => key), total = (of: Cells, counts: (i: number) => boolean) => of.count.reduce((sum, n, i) => (counts(i) ? sum + n : sum), 0);
  const curvesOf = (cells: Cells, group: Int32Array): PooledCurves => {
    const survival = groupSurvival(cells, group, keys, question);
    return {
      curves: survival.map((one) => curveOf(one, question)), riskTable: riskTable(survival, question.horizonYears),
      atTimes: question.atYears.flatMap((years) => survival.map((one) => atTime(one, years, question))),
    };
  };
  const byRegistry = parts.map(({ registry }, r) => {
    const { cells, group } = cellsWhere(cohort, (pattern) => registryOfPattern[pattern] === r);
    return { registry, procedures: total(cells, () => true), events: total(cells, (i) => cells.event[i] === 1), ...curvesOf(cells, group) };
  });
  await step('Comparing the groups', 0.6);
  const compared = await comparedWithin(pooled, question, step);
  const coarse = told.some((cells) => cells.some(({ after, exit }) => exit - after > 1));
  return {
    status: 'ok', question, reference,
    notes: pooled.notes,
    groups: groups.map(({ key, label }, g) => ({ key, label, procedures: total(cohort.cells, (i) => cohort.group[i] === g), events: total(cohort.cells, (i) => cohort.group[i] === g && cohort.cells.event[i] === 1) })),
    ...curvesOf(cohort.cells, cohort.group), byRegistry,
    ...compared,
    bounds: coarse ? told.flatMap((cells, g) => { const at = question.atYears; return curveBounds(cells, at.map(daysOfYears)).map((bounds, i) => ({ group: keys[g]!, years: at[i]!, ...bounds })); }) : [],
  };
}

type Compared = Pick<Analysis, 'logRank' | 'unadjusted' | 'adjusted' | 'periods'>;

/**
 * Both models are of the procedures with every covariate recorded and differ by the adjustment alone. What is asked for and some file lacks is not
 * replaced by less: there is no adjusted model then.
 */
async function comparedWithin({ notCarried, ...pooled }: PooledCohort, question: Question, step: Step): Promise<Compared> {
  const { cohort, adjustments, strata } = pooled, registryOnly = { ...pooled, adjustments: [], strata: strata.slice(0, 1) };
  if (notCarried.length > 0) {
    const lacking: NotEstimable = { status: 'notEstimable', reason: `not every file can be adjusted for what is asked: ${notCarried.join(', ')}` };
    const { logRank, adjusted } = await compareGroups(registryOnly, question, step);
    return { logRank, unadjusted: adjusted, adjusted: lacking, periods: lacking };
  }
  const compared = await compareGroups(pooled, question, step);
  if (adjustments.length === 0 && strata.length === 1) return { ...compared, unadjusted: compared.adjusted };
  return { ...compared, unadjusted: (await compareGroups({ ...registryOnly, cohort: completeWherePossible(cohort, adjustments) }, question, step)).adjusted };
}
