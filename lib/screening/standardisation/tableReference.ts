import { cumulativeEvents, type EventTable } from '../../stats/eventTable';
import { cumulativeHazardAt, type ReferenceStratum } from './referenceHazard';

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
  const { time, events, competing, censored, entryTime, entered } = table, hazardTo = (t: number): number => cumulativeHazardAt(reference, Math.min(t, reference.reach));
  const ended = time.reduce((sum, t, j) => sum + (events[j]! + competing[j]! + censored[j]!) * hazardTo(t), 0);
  return { observed: cumulativeEvents(table, reference.reach), expected: entryTime.reduce((left, t, e) => left - entered[e]! * hazardTo(t), ended) };
}
