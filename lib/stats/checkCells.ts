import type { Cells } from './cells';

/** Throws a RangeError that names the first cell and field breaking the rules of `Cells`. Bad cells are an error of the caller, not of the data. */
export function checkCells(cells: Cells): void {
  const size = cells.exit.length;
  for (const field of ['entry', 'event', 'count', 'stratum', 'cluster'] as const) {
    const column = cells[field];
    if (column && column.length !== size) throw new RangeError(`${field} must have one entry per cell (${size}): ${column.length}`);
  }
  for (let i = 0; i < size; ++i) {
    const exit = cells.exit[i]!, count = cells.count[i]!, entry = cells.entry?.[i];
    if (!(exit >= 0 && exit < Infinity)) throw new RangeError(`cell ${i}: exit must be a finite number of at least 0: ${exit}`);
    if (!(Number.isInteger(count) && count > 0)) throw new RangeError(`cell ${i}: count must be a whole number above 0: ${count}`);
    if (entry !== undefined && !(entry < exit)) throw new RangeError(`cell ${i}: entry must be before exit (${exit}): ${entry}`);
  }
}
