import type { Cell } from './reducedRegistry';

const parts = 4; // as in an actuarial life table those who leave within a step are at risk for half of it on average

/** A cell that ended in a step of several days, spread evenly over whole days of it. One of a known day stays as it is. */
export function spreadCells(cell: Cell): readonly Cell[] {
  const { after, exit, count } = cell, from = Math.max(after, 0), width = exit - from, pieces = Math.min(parts, count, width);
  if (exit - after === 1) return [cell];
  return Array.from({ length: pieces }, (_, k) => {
    const day = Math.max(from + Math.round(((k + 0.5) / pieces) * width), 1);
    return { ...cell, after: day - 1, exit: day, count: Math.floor(((k + 1) * count) / pieces) - Math.floor((k * count) / pieces) };
  });
}
