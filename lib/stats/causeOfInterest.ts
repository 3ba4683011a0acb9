import type { Cells } from './cells';

/** The same cells with `cause` for the event of interest (1) and every other cause competing (2). */
export function causeOfInterest(cells: Cells, cause: number): Cells {
  return { ...cells, event: cells.event.map((e) => (e === 0 ? 0 : e === cause ? 1 : 2)) };
}
