import type { Cells } from '../cells';
import { firstAbove } from '../distinctTimes';
import { eventTable } from '../eventTable';

/**
 * What an imputation model must know of the outcome, per cell: whether the event happened, and the cumulative hazard over the cell's follow-up
 * (Nelson–Aalen); where something competes, the same of that. White & Royston 2009, Stat Med 28:1982; Bartlett & Taylor 2016, Biostatistics 17:751.
 */
export function outcomePredictors(cells: Cells): Float64Array[] {
  const { time, events, competing, atRisk } = eventTable(cells);
  const own = [
    Float64Array.from(cells.event, (e) => (e === 1 ? 1 : 0)),
    cumulativeHazard(cells, time, events, atRisk),
  ];
  if (!competing.some((d) => d > 0)) return own;
  return [...own, Float64Array.from(cells.event, (e) => (e > 1 ? 1 : 0)), cumulativeHazard(cells, time, competing, atRisk)];
}

function cumulativeHazard({ exit, entry }: Cells, time: Float64Array, events: Float64Array, atRisk: Float64Array): Float64Array {
  const hazard = new Float64Array(time.length + 1); // up to and including the time before
  for (let j = 0; j < time.length; ++j) hazard[j + 1] = hazard[j]! + (events[j]! > 0 ? events[j]! / atRisk[j]! : 0);
  return exit.map((t, i) => hazard[firstAbove(time, t)]! - (entry && entry[i]! >= 0 ? hazard[firstAbove(time, entry[i]!)]! : 0));
}
