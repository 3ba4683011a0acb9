import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { cutPoints } from '../../stats/cox/cutPoints';
import type { Model } from '../model';
import { ratiosBetween } from '../periodRatios';
import type { FoundPeriods } from './ratioOverTimeResult';

/** Days at which the ratios change, found in the data, and the ratios between them. */
export function foundPeriods(model: Model, question: Question): FoundPeriods | NotEstimable {
  const result = cutPoints(model.cohort.cells, model.design, [...model.terms[0]!.columns.keys()]);
  if (result.status !== 'ok') return result;
  const periods = ratiosBetween(model, result.cuts, question);
  if ('status' in periods) return periods;
  return {
    status: 'ok',
    cuts: result.tried.map(({ time, ...tried }) => ({ day: time, ...tried })),
    periods,
    within: result.within.terms.map(({ test }) => test),
  };
}
