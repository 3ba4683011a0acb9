import type { Cells } from '@/lib/stats/cells';
import { taken } from '@/lib/stats/subset';

export interface SplitCells extends Cells {
  readonly entry: Float64Array;
  /** The cell that each piece is from. */
  readonly origin: Int32Array;
  /** Number of the interval of each piece: 0 up to and including the first cut, and so on. */
  readonly interval: Int32Array;
}

/**
 * The plain way to periods, which pieces that are shared by many cells are held against: follow-up cut at the given ascending times: the pieces of a cell are at risk on (cut, next cut] and together on its own follow-up.
 * An event stays in the interval that its time closes or falls in; events at time 0 are in the first.
 */
export function splitTime(cells: Cells, cuts: readonly number[]): SplitCells {
  const bounds = [-Infinity, ...cuts, Infinity], piecesOf = (i: number, visit: (k: number, start: number, end: number) => void): void => {
    const from = cells.entry?.[i] ?? -Infinity, to = cells.exit[i]!;
    for (let k = 0; k <= cuts.length && bounds[k]! < to; ++k) {
      const start = Math.max(from, bounds[k]!), end = Math.min(to, bounds[k + 1]!);
      if (start < end) visit(k, start, end);
    }
  };
  let size = 0;
  for (let i = 0; i < cells.exit.length; ++i) piecesOf(i, () => { ++size; });
  const origin = new Int32Array(size), interval = new Int32Array(size), entry = new Float64Array(size), exit = new Float64Array(size), event = new Uint8Array(size);
  for (let i = 0, piece = 0; i < cells.exit.length; ++i) {
    piecesOf(i, (k, start, end) => {
      origin[piece] = i;
      interval[piece] = k;
      entry[piece] = start;
      exit[piece] = end;
      event[piece++] = end === cells.exit[i] ? cells.event[i]! : 0;
    });
  }
  const { stratum, cluster } = cells;
  return {
    exit, entry, event, origin, interval,
    count: taken(cells.count, origin, new Float64Array(size)),
    ...(stratum && { stratum: taken(stratum, origin, new Int32Array(size)) }), ...(cluster && { cluster: taken(cluster, origin, new Int32Array(size)) }),
  };
}
