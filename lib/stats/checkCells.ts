import type { Cells } from './cells';

/** Throws a RangeError that names the first cell and field breaking the rules of `Cells`. Bad cells are an error of the caller, not of the data. */
export function checkCells(cells: Cells): void {
  const { exit, count, entry } = cells, size = exit.length;
  for (const field of ['entry', 'event', 'count', 'stratum', 'cluster'] as const) {
    const column = cells[field];
    if (column && column.length !== size) throw new RangeError(`${field} must have one entry per cell (${size}): ${column.length}`);
  }
  const exits = goodExits(exit), counts = goodCounts(count), entries = entry === undefined ? size : goodEntries(entry, exit);
  const bad = Math.min(exits, counts, entries);
  if (bad === size) return;
  if (bad === exits) throw new RangeError(`cell ${bad}: exit must be a finite number of at least 0: ${exit[bad]!}`);
  if (bad === counts) throw new RangeError(`cell ${bad}: count must be a whole number above 0: ${count[bad]!}`);
  throw new RangeError(`cell ${bad}: entry must be before exit (${exit[bad]!}): ${entry![bad]!}`);
}

// How many keep a rule before the first that breaks it. Loops of their own, as one loop with all rules was at times compiled to a fifth of its speed.

function goodExits(exit: Float64Array): number {
  let i = 0;
  while (i < exit.length && exit[i]! >= 0 && exit[i]! < Infinity) ++i;
  return i;
}

function goodCounts(count: Float64Array): number {
  let i = 0;
  while (i < count.length && Number.isInteger(count[i]) && count[i]! > 0) ++i;
  return i;
}

function goodEntries(entry: Float64Array, exit: Float64Array): number {
  let i = 0;
  while (i < exit.length && entry[i]! < exit[i]!) ++i;
  return i;
}
