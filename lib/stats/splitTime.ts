import type { Cells } from './cells';

export interface SplitCells extends Cells {
  readonly entry: Float64Array;
  /** The cell that each piece is from. */
  readonly origin: Int32Array;
  /** Number of the interval of each piece: 0 up to and including the first cut, and so on. */
  readonly interval: Int32Array;
}

/**
 * Follow-up cut at the given ascending times: the pieces of a cell are at risk on (cut, next cut] and together on its own follow-up.
 * An event stays in the interval that its time closes or falls in; events at time 0 are in the first.
 */
export function splitTime(cells: Cells, cuts: readonly number[]): SplitCells {
  const bad = cuts.findIndex((c, k) => !(c > (k === 0 ? 0 : cuts[k - 1]!)));
  if (bad >= 0) throw new RangeError(`cuts must ascend from above 0: ${cuts.join(', ')}`);
  const origin: number[] = [], interval: number[] = [], entry: number[] = [], exit: number[] = [], event: number[] = [];
  for (let i = 0; i < cells.exit.length; ++i) {
    const from = cells.entry?.[i] ?? -Infinity, to = cells.exit[i]!;
    for (let k = 0; k <= cuts.length; ++k) {
      const start = Math.max(from, k === 0 ? -Infinity : cuts[k - 1]!), end = Math.min(to, cuts[k] ?? Infinity);
      if (start >= end) continue;
      origin.push(i);
      interval.push(k);
      entry.push(start);
      exit.push(end);
      event.push(end === to ? cells.event[i]! : 0);
    }
  }
  const pick = (column: Int32Array | undefined) => column && Int32Array.from(origin, (i) => column[i]!);
  const stratum = pick(cells.stratum), cluster = pick(cells.cluster);
  return {
    exit: Float64Array.from(exit), entry: Float64Array.from(entry), event: Uint8Array.from(event),
    count: Float64Array.from(origin, (i) => cells.count[i]!),
    ...(stratum && { stratum }), ...(cluster && { cluster }),
    origin: Int32Array.from(origin), interval: Int32Array.from(interval),
  };
}
