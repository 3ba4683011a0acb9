import type { NotEstimable } from './cells';
import type { EventTable } from './eventTable';
import type { Stop } from './stopRule';

/** Why nothing may be read from a curve at `time`, where `atRisk` remain; null: it may. */
export function beyondStop(table: EventTable, stop: Stop, time: number, atRisk: number): NotEstimable | null {
  if (table.procedures === 0) return { status: 'notEstimable', reason: 'no procedures' };
  if (stop.index >= 0 && time <= stop.time) return null;
  return { status: 'notEstimable', reason: stop.stopped ? `too few at risk (n = ${atRisk})` : 'beyond the end of follow-up (n = 0)' };
}
