import type { Cell } from './reducedRegistry';

/** Between which percentages the Kaplan–Meier estimate of the exact days lies, whatever they are. */
export interface Bounds { readonly lower: number; readonly upper: number }

/**
 * Bounds of the cumulative percent revision at whole days, from cells of which it is known only that follow-up ended after one day and up to another.
 * S is the product of (n − 1)/n over the revisions one by one, those of one day in any order. It is highest where as many as possible are at
 * risk at each of them, and revisions that may lie after the time asked for do; lowest where only those are at risk who must have been, and
 * they lie before. Written for known days both are the estimate itself.
 */
export function curveBounds(cells: readonly Cell[], days: readonly number[]): readonly Bounds[] {
  const revised = cells.filter(({ event }) => event === 1), steps = new Map<string, Cell>();
  for (const cell of revised) {
    const key = `${cell.after} ${cell.exit}`, same = steps.get(key);
    steps.set(key, { ...cell, count: cell.count + (same?.count ?? 0) });
  }
  const exits = running(cells, ({ exit }) => exit), entries = running(cells.filter(({ entry }) => entry >= 0), ({ entry }) => entry);
  const surely = running(cells, ({ after, event }) => (event === 1 ? after : after + 1)); // the last day that they must have been at risk on
  const factors = [...steps.values()].map(({ after, exit, count }) => {
    const most = exits.above(after) - entries.above(exit - 1), least = Math.max(0, surely.above(exit - 1) - entries.above(after));
    return { after, exit, best: (most - count) / most, worst: least / (least + count) };
  });
  return days.map((day) => ({
    lower: 100 * (1 - factors.reduce((s, { exit, best }) => (exit <= day ? s * best : s), 1)),
    upper: 100 * (1 - factors.reduce((s, { after, worst }) => (after < day ? s * worst : s), 1)),
  }));
}

/** How many procedures have a day above the one asked for. */
function running(cells: readonly Cell[], dayOf: (cell: Cell) => number) {
  const perDay = new Map<number, number>();
  for (const cell of cells) perDay.set(dayOf(cell), (perDay.get(dayOf(cell)) ?? 0) + cell.count);
  const days = [...perDay.keys()].sort((a, b) => a - b), from = new Float64Array(days.length + 1);
  for (let i = days.length - 1; i >= 0; --i) from[i] = from[i + 1]! + perDay.get(days[i]!)!;
  return {
    above: (day: number): number => {
      let low = 0, high = days.length;
      while (low < high) { const middle = (low + high) >> 1; if (days[middle]! > day) high = middle; else low = middle + 1; }
      return from[low]!;
    },
  };
}
