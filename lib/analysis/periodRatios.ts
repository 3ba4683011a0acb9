import { daysOfYears } from '../cohort/days';
import type { Question } from '../contract/question';
import { piecewiseHazardRatios } from '../stats/cox/piecewiseHazardRatios';
import { untilLastEvent } from '../stats/cox/untilLastEvent';
import type { NotEstimable } from '../stats/cells';
import { sayingOwnLimits } from './clusterNotes';
import { hazardRatioOf } from './hazardRatio';
import { countsWithin } from './levelCounts';
import type { Model } from './model';
import type { PeriodRatios } from './result';

/** Ratios of the groups within each period since surgery that the question names. */
export function periodRatios(model: Model, question: Question): readonly PeriodRatios[] | NotEstimable {
  return ratiosBetween(model, question.cutYears.filter((years) => years < question.horizonYears).map(daysOfYears), question);
}

/**
 * Ratios of the groups between cuts in days, the covariates' ratios being the same throughout. Procedures are those at risk at some time in the
 * period.
 */
export function ratiosBetween({ cohort, design, terms }: Model, cuts: readonly number[], { confidence }: Question): readonly PeriodRatios[] | NotEstimable {
  const group = terms[0]!;
  const result = piecewiseHazardRatios(untilLastEvent(cohort.cells), design, [...group.columns.keys()], cuts, { confidence, robust: cohort.cells.cluster !== undefined });
  if (result.status !== 'ok') return result;
  return result.periods.map(({ from, to, ratios }) => {
    const within = countsWithin(cohort, from, to);
    return { fromDay: from, toDay: to === Infinity ? null : to, ratios: sayingOwnLimits(ratios.map((ratio, j) => hazardRatioOf(group, j, ratio, within)), result.robust) };
  });
}
