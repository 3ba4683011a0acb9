import type { HazardRatio as Ratio } from '../stats/cox/hazardRatios';
import type { NotEstimable } from '../stats/cells';
import { columnCounts, type PatternCounts } from './levelCounts';
import type { ModelTerm } from './model';
import type { HazardRatio } from './result';

/** Column `j` of a term with its estimate, and its procedures and events among these. */
export function hazardRatioOf(
  { term, columns, against }: ModelTerm, j: number, ratio: Pick<Ratio, 'status' | 'ratio' | 'lower' | 'upper' | 'p'> | NotEstimable, counts: PatternCounts,
): HazardRatio {
  const column = columns[j]!, { level, name } = column;
  const estimated = ratio.status === 'ok';
  return {
    term, level: level ?? '', label: name, against, ...columnCounts(counts, column),
    estimate: estimated ? { value: ratio.ratio, lower: ratio.lower, upper: ratio.upper } : { status: 'notEstimable', reason: ratio.reason },
    p: estimated ? ratio.p : NaN,
  };
}
