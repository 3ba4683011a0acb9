import { begins } from '../riskSets';
import type { CoxModel } from './coxModel';
import { singleCounts, type CountsBySet, type SingleCounts } from './countsBySet';
import { rowsAtRisk } from './rowsAtRisk';
import { runningCounts } from './runningCounts';
import { sparseCovariates, type SparseCovariates } from './sparseCovariates';

/** What sums over the risk sets need of the cells, pattern by pattern: what is alike in all cells of a pattern is then looked up once. */
export interface MembersByPattern {
  readonly atRisk: CountsBySet;
  readonly withEvent: CountsBySet;
  readonly covariates: SparseCovariates;
}

const ofModel = new WeakMap<CoxModel, MembersByPattern>();

/** Laid out once for each model. */
export function membersByPattern(model: CoxModel): MembersByPattern {
  const known = ofModel.get(model);
  if (known) return known;
  const result = {
    atRisk: rowsAtRisk(model) ?? runningAtRisk(model),
    withEvent: singleCounts(byPattern(model, model.sets.having), model.sets.time.length),
    covariates: sparseCovariates(model),
  };
  ofModel.set(model, result);
  return result;
}

export const runningAtRisk = (model: CoxModel): CountsBySet => runningCounts(model, byPattern(model, fromStart(model)));

/** Members from the first set of their stratum on. */
function fromStart({ sets }: CoxModel): Int32Array {
  const { first, last } = sets, cells = new Int32Array(first.length);
  let starting = 0;
  for (let i = 0; i < first.length; ++i) if (first[i]! <= last[i]! && begins(sets, first[i]!)) cells[starting++] = i;
  return cells.subarray(0, starting);
}

/** The given cells, each at its last set, in the given order within each pattern. */
function byPattern({ cells: { count }, design: { pattern }, sets: { last }, patterns }: CoxModel, cells: Int32Array): SingleCounts {
  const start = new Int32Array(patterns + 1), set = new Int32Array(cells.length), counts = new Float64Array(cells.length);
  for (let b = 0; b < cells.length; ++b) start[pattern[cells[b]!]! + 1]! += 1;
  for (let p = 0; p < patterns; ++p) start[p + 1]! += start[p]!;
  const next = start.slice();
  for (let b = 0; b < cells.length; ++b) {
    const i = cells[b]!, at = next[pattern[i]!]!++;
    set[at] = last[i]!;
    counts[at] = count[i]!;
  }
  return { start, set, count: counts };
}
