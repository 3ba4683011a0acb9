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
  const size = cells.exit.length, periods = cuts.length + 1, most = size * periods, ends = [...cuts, Infinity], starts = [-Infinity, ...cuts];
  const exit = new Float64Array(most), event = new Uint8Array(most), count = new Float64Array(most), entry = new Float64Array(most), atRisk = new Float64Array(most);
  const stratum = new Int32Array(most), pattern = new Int32Array(most), before = new Int32Array(most), last = new Int32Array(size);
  const strata = cells.stratum ? distinctTimes(new Float64Array(cells.stratum)) : null;
  const shared = new Int32Array((strata?.time.length ?? 1) * periods).fill(-1); // by stratum; cells come by pattern, and what is of an earlier one does not count
  let pieces = 0;
  const add = (i: number, period: number, to: number, earlier: number): number => {
    const late = cells.entry !== undefined && cells.entry[i]! > starts[period]!;
    exit[pieces] = to;
    entry[pieces] = late ? cells.entry[i]! : starts[period]!;
    atRisk[pieces] = late ? cells.entry[i]! : -Infinity;
    stratum[pieces] = (strata?.place[i] ?? 0) * periods + period;
    pattern[pieces] = patternOf[i]! * periods + period;
    before[pieces] = earlier;
    return pieces++;
  };
  for (let i = 0; i < size; ++i) {
    const from = cells.entry?.[i] ?? -Infinity, n = cells.count[i]!, ofStratum = (strata?.place[i] ?? 0) * periods;
    let earlier = -1, period = 0;
    while (ends[period]! <= from) ++period;
    for (; ends[period]! < cells.exit[i]!; ++period) {
      const known = from >= 0 ? -1 : shared[ofStratum + period]!;
      const piece: number = known >= 0 && pattern[known] === patternOf[i]! * periods + period ? known : add(i, period, ends[period]!, earlier);
      if (from < 0) shared[ofStratum + period] = piece;
      count[piece]! += n;
      earlier = piece;
    }
    last[i] = add(i, period, cells.exit[i]!, earlier);
    count[last[i]!] = n;
    event[last[i]!] = cells.event[i]!;
  }
  const used = <T extends Float64Array | Int32Array | Uint8Array>(values: T): T => values.subarray(0, pieces) as T;
  return {
    cells: { exit: used(exit), event: used(event), count: used(count), entry: used(atRisk), stratum: used(stratum) },
    entry: used(entry), pattern: used(pattern), before: used(before), last,
  };
}
