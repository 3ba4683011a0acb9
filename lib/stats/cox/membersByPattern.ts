import { begins } from '../riskSets';
import { integersUsedAgain } from '../usedAgain';
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
  /** To be filled by `overPatterns`, over and over: memory that is new has to be made ready for each write. */
  readonly sums: Float64Array;
}

const startingAgain = integersUsedAgain();
const ofModel = new WeakMap<CoxModel, MembersByPattern>();

/** Laid out once for each model. */
export function membersByPattern(model: CoxModel): MembersByPattern {
  const known = ofModel.get(model);
  if (known) return known;
  const result = {
    atRisk: rowsAtRisk(model) ?? runningAtRisk(model),
    withEvent: singleCounts(byPattern(model, model.sets.having), model.sets.time.length),
    covariates: sparseCovariates(model),
    sums: new Float64Array((1 + model.columns) * model.sets.time.length),
  };
  ofModel.set(model, result);
  return result;
}

export const runningAtRisk = (model: CoxModel): CountsBySet => runningCounts(model, byPattern(model, fromStart(model)));

/** Members from the first set of their stratum on. */
function fromStart({ sets }: CoxModel): Int32Array {
  const cells = startingAgain(sets.first.length), starts = Uint8Array.from(sets.stratum, (_, k) => (begins(sets, k) ? 1 : 0));
  return cells.subarray(0, takeStarting(cells, sets.first, sets.last, starts));
}

function takeStarting(cells: Int32Array, first: Int32Array, last: Int32Array, starts: Uint8Array): number {
  let starting = 0;
  for (let i = 0; i < first.length; ++i) if (first[i]! <= last[i]! && starts[first[i]!] === 1) cells[starting++] = i;
  return starting;
}

/** The given cells, each at its last set, in the given order within each pattern. */
function byPattern({ cells: { count }, design: { pattern }, sets: { last }, patterns }: CoxModel, cells: Int32Array): SingleCounts {
  const start = new Int32Array(patterns + 1), set = new Int32Array(cells.length), counts = new Float64Array(cells.length);
  countPatterns(start, pattern, cells);
  for (let p = 0; p < patterns; ++p) start[p + 1]! += start[p]!;
  place(set, counts, start.slice(), pattern, last, count, cells);
  return { start, set, count: counts };
}

function countPatterns(start: Int32Array, pattern: Int32Array, cells: Int32Array): void {
  for (let b = 0; b < cells.length; ++b) start[pattern[cells[b]!]! + 1]! += 1;
}

function place(set: Int32Array, counts: Float64Array, next: Int32Array, pattern: Int32Array, last: Int32Array, count: Float64Array, cells: Int32Array): void {
  for (let b = 0; b < cells.length; ++b) {
    const i = cells[b]!, at = next[pattern[i]!]!++;
    set[at] = last[i]!;
    counts[at] = count[i]!;
  }
}
