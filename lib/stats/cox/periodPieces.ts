import type { Cells } from '../cells';
import { distinctTimes } from '../distinctTimes';
import type { JoinedCells } from './joinedCells';

/** Follow-up in pieces, each within one period. */
export interface PeriodPieces {
  /**
   * Every period of every stratum is a stratum, which has the same risk sets: whoever was under observation when the period began is at risk in it from the
   * start, and needs no delayed entry.
   */
  readonly cells: Cells;
  /** The times from which the pieces are at risk, as scales of time go by them. */
  readonly entry: Float64Array;
  /** Per piece: pattern · periods + period. */
  readonly pattern: Int32Array;
  /** Per given cell: its last piece. */
  readonly last: Int32Array;
  /** Per piece: the one before it, of the same procedures; -1: none. */
  readonly before: Int32Array;
}

/**
 * Cells of one pattern and stratum share the pieces of the periods that they outlast, those with delayed entry excepted. A piece is in the period that its end
 * closes or falls in, as is an event; those at time 0 are in the first.
 */
export function periodPieces({ cells, pattern: patternOf }: JoinedCells, cuts: readonly number[]): PeriodPieces {
  const bad = cuts.findIndex((c, k) => !(c > (k === 0 ? 0 : cuts[k - 1]!)));
  if (bad >= 0) throw new RangeError(`cuts must ascend from above 0: ${cuts.join(', ')}`);
  const size = cells.exit.length, periods = cuts.length + 1, strata = cells.stratum ? distinctTimes(new Float64Array(cells.stratum)) : null;
  const stratumOf = strata?.place ?? new Int32Array(size), most = size + cuts.length * runs(patternOf, stratumOf, cells.entry);
  const exit = new Float64Array(most), event = new Uint8Array(most), count = new Float64Array(most), entry = new Float64Array(most), atRisk = new Float64Array(most);
  const stratum = new Int32Array(most), pattern = new Int32Array(most), before = new Int32Array(most), last = new Int32Array(size);
  const shared = new Int32Array((strata?.time.length ?? 1) * periods).fill(-1); // by stratum; cells come by pattern, and what is of an earlier one does not count
  const ends = Float64Array.of(...cuts, Infinity), starts = Float64Array.of(-Infinity, ...cuts);
  let pieces = 0;
  for (let i = 0; i < size; ++i) {
    const from = cells.entry?.[i] ?? -Infinity, to = cells.exit[i]!, n = cells.count[i]!;
    let period = 0, piece = -1, earlier = -1;
    while (ends[period]! <= from) ++period;
    for (let isLast = false; !isLast; ++period) {
      isLast = !(ends[period]! < to);
      const own = patternOf[i]! * periods + period, ofPeriod = stratumOf[i]! * periods + period, shares = !isLast && !(from >= 0);
      piece = shares ? shared[ofPeriod]! : -1;
      if (piece < 0 || pattern[piece] !== own) {
        const start = starts[period]!;
        piece = pieces++;
        exit[piece] = isLast ? to : ends[period]!;
        entry[piece] = from > start ? from : start;
        atRisk[piece] = from > start ? from : -Infinity;
        stratum[piece] = ofPeriod;
        pattern[piece] = own;
        before[piece] = earlier;
        if (shares) shared[ofPeriod] = piece;
      }
      count[piece]! += n;
      earlier = piece;
    }
    last[i] = piece;
    event[piece] = cells.event[i]!;
  }
  const used = <T extends Float64Array | Int32Array | Uint8Array>(values: T): T => values.subarray(0, pieces) as T;
  return {
    cells: { exit: used(exit), event: used(event), count: used(count), entry: used(atRisk), stratum: used(stratum) },
    entry: used(entry), pattern: used(pattern), before: used(before), last,
  };
}

/** Runs of cells of one pattern and stratum, and cells with delayed entry: no more than these have pieces in a period that is outlasted. */
function runs(pattern: Int32Array, stratum: Int32Array, entry: Float64Array | undefined): number {
  let number = 0;
  for (let i = 0; i < pattern.length; ++i) {
    if (i === 0 || pattern[i] !== pattern[i - 1] || stratum[i] !== stratum[i - 1]) number++;
    if (entry !== undefined && entry[i]! >= 0) number++;
  }
  return number;
}
