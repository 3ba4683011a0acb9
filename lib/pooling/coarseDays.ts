import { cellColumns, cellsIn, type Cell, type ReducedRegistry } from './reducedRegistry';

export interface CoarseDays { readonly stepDays: number; readonly smallest: number; readonly horizonDays: number }

/**
 * Ends of follow-up in steps of days. Steps of one pattern and kind of end are joined, from day 0 on, until each count is at least the smallest
 * that may leave; what is left at the end is joined with the one before. The horizon, where many end on one known day, is a step of its own.
 * Everyone is to be at risk from the start, and no pattern may have fewer ends of a kind than the smallest, unless it has none.
 */
export function coarseDays(reduced: ReducedRegistry, { stepDays, smallest, horizonDays }: CoarseDays): ReducedRegistry['cells'] {
  const ends = new Map<string, Cell[]>();
  for (const cell of cellsIn({ cells: cellColumns(cellsIn(reduced).map((each) => stepped(each, stepDays, horizonDays))) })) {
    const key = `${cell.pattern} ${cell.event}`, same = ends.get(key);
    if (same === undefined) ends.set(key, [cell]);
    else same.push(cell);
  }
  return cellColumns([...ends.values()].flatMap((cells) => joined(cells, smallest, horizonDays)));
}

/** Day 0 belongs to the first step, every later step ends on a multiple of its length or just before the horizon. */
function stepped(cell: Cell, stepDays: number, horizonDays: number): Cell {
  if (cell.exit >= horizonDays) return { ...cell, after: horizonDays - 1, exit: horizonDays };
  const step = Math.max(1, Math.ceil(cell.exit / stepDays));
  return { ...cell, after: step === 1 ? -1 : (step - 1) * stepDays, exit: Math.min(step * stepDays, horizonDays - 1) };
}

function joined(cells: readonly Cell[], smallest: number, horizonDays: number): readonly Cell[] {
  const runs: Cell[] = [];
  let open: Cell | null = null;
  const join = (a: Cell, b: Cell): Cell => ({ ...a, exit: Math.max(a.exit, b.exit), count: a.count + b.count });
  const close = (): void => {
    if (open === null) return;
    const last = runs.pop();
    runs.push(last === undefined ? open : join(last, open));
    open = null;
  };
  for (const cell of [...cells].sort((a, b) => a.exit - b.exit)) {
    if (cell.exit === horizonDays && runs.length > 0) close();
    open = open === null ? cell : join(open, cell);
    const following: Cell = open;
    if (following.count < smallest) continue;
    runs.push(following);
    open = null;
  }
  close();
  return runs;
}
