import { cumulativeEvents, type EventTable } from '../../stats/eventTable';
import type { ReferenceStratum } from './referenceHazard';

/** The Nelson–Aalen estimate of a table, to its longest follow-up. Nelson 1972, Technometrics 14:945; Aalen 1978, Ann Stat 6:701. */
export function tableReference({ time, events, atRisk }: EventTable): ReferenceStratum {
  let sum = 0;
  return { time, cumulativeHazard: events.map((d, j) => (sum += d / atRisk[j]!)), reach: time.at(-1) ?? 0 };
}

/**
 * Revisions of the procedures of a table, as far as the reference reaches, and those expected under it over the follow-up of each.
 * Berry 1983, Biometrics 39:173: `expectedRevisions` without covariates.
 */
export function revisedAgainst(reference: ReferenceStratum, table: EventTable): { readonly observed: number; readonly expected: number } {
  const { time, events, competing, censored, entryTime, entered } = table, toEnd = hazardTo(reference, time), toEntry = hazardTo(reference, entryTime);
  let expected = 0;
  for (let j = 0; j < time.length; ++j) expected += (events[j]! + competing[j]! + censored[j]!) * toEnd[j]!;
  for (let e = 0; e < entryTime.length; ++e) expected -= entered[e]! * toEntry[e]!;
  return { observed: cumulativeEvents(table, reference.reach), expected };
}

/** The cumulative hazard of the reference at ascending times, as far as it reaches. */
function hazardTo({ time, cumulativeHazard, reach }: ReferenceStratum, times: Float64Array): Float64Array {
  const hazard = new Float64Array(times.length);
  for (let j = 0, k = 0; j < times.length; ++j) {
    while (k < time.length && time[k]! <= times[j]! && time[k]! <= reach) ++k;
    hazard[j] = k === 0 ? 0 : cumulativeHazard[k - 1]!;
  }
  return hazard;
}
