import { daysOfYears, daysPerYear } from '../../cohort/days';
import { eventCode } from '../../cohort/outcome';
import type { Question } from '../../contract/question';
import { aalenJohansen } from '../../stats/aalenJohansen';
import type { NotEstimable } from '../../stats/cells';
import { numberAtRisk, type EventTable } from '../../stats/eventTable';
import { detectableHazardRatio, eventsNeeded } from '../../stats/precision/eventsNeeded';
import { timeToExpectedEvents } from '../../stats/precision/timeToExpectedEvents';
import type { Stop } from '../../stats/stopRule';
import { subset } from '../../stats/subset';
import type { AskedCohort } from '../askedCohort';
import { beyondHorizon } from '../beyondHorizon';
import type { GroupSurvival } from '../groupSurvival';
import type { GroupPrecision } from './precisionResult';

export const power = 0.8, alpha = 0.05;
const doubling = 2;

/** Both groups' revisions up to each time at which the reference has some, were they revised alike. */
export interface ExpectedCounts {
  readonly table: EventTable; // of the group
  readonly stop: Stop; // of the reference
  readonly time: readonly number[];
  readonly expected: readonly number[]; // of the group
  readonly observed: readonly number[]; // of the reference
}

/** The reference's hazard over the follow-up of the group, to where the reference may be read. Berry 1983, Biometrics 39:173. */
export function expectedCounts({ km: { table } }: GroupSurvival, { km: reference, stop }: GroupSurvival): ExpectedCounts {
  const time: number[] = [], expected: number[] = [], observed: number[] = [];
  let ofGroup = 0, ofReference = 0;
  for (let j = 0; j <= stop.index; ++j) {
    const { time: times, events, atRisk } = reference.table, d = events[j]!;
    if (d === 0) continue;
    time.push(times[j]!);
    expected.push(ofGroup += (numberAtRisk(table, times[j]!) * d) / atRisk[j]!);
    observed.push(ofReference += d);
  }
  return { table, stop, time, expected, observed };
}

export function precisionAt({ table, stop, time, expected, observed }: ExpectedCounts, years: number, { horizonYears }: Question): GroupPrecision['atTimes'][number] {
  const day = daysOfYears(years), last = time.filter((t) => t <= day).length - 1;
  const own = expected[last] ?? 0, referenceEvents = observed[last] ?? 0;
  const described = { years, atRisk: numberAtRisk(table, day), referenceEvents };
  const missing = (reason: string) => ({ ...described, expected: { status: 'notEstimable', reason }, detectable: { status: 'notEstimable', reason } } as const);
  if (years > horizonYears) return missing(beyondHorizon(horizonYears).reason);
  if (stop.index < 0 || day > stop.time) return missing('too few of the reference at risk');
  return { ...described, expected: own, detectable: own > 0 ? seen(own, referenceEvents) : { status: 'notEstimable', reason: 'no revisions to expect by then' } };
}

const seen = (expected: number, observed: number): number => detectableHazardRatio(expected + observed, expected / (expected + observed), { power, alpha });

export function doublingSeenFrom({ time, expected, observed }: ExpectedCounts): GroupPrecision['doublingSeenFrom'] {
  const first = time.findIndex((_, j) => expected[j]! > 0 && seen(expected[j]!, observed[j]!) <= doubling);
  if (first >= 0) return { status: 'ok', day: time[first]! };
  const own = expected.at(-1) ?? 0, all = own + (observed.at(-1) ?? 0);
  if (own === 0) return { status: 'notEstimable', reason: 'no revisions to expect' };
  const needed = Math.ceil(eventsNeeded(doubling, own / all, { power, alpha }));
  return { status: 'notEstimable', reason: `not with the follow-up so far: ${needed} revisions in both groups together would be needed, ${all.toFixed(1)} are to be expected` };
}

/** At so many procedures a year of both, counted from one day on; the dead are allowed for. */
export function doublingSeenAfter(
  { cohort, groups, reference }: AskedCohort, { stop }: GroupSurvival, perYear: number, referencePerYear: number,
): { readonly status: 'ok'; readonly days: number } | NotEstimable {
  const against = groups.findIndex((group) => group.key === reference), pace = (perYear + referencePerYear) / daysPerYear;
  const cells = subset(cohort.cells, Int32Array.from(cohort.group.keys()).filter((i) => cohort.group[i] === against));
  const incidence = aalenJohansen(cells, eventCode.death).causes[0]!;
  const result = timeToExpectedEvents(incidence, stop, pace, eventsNeeded(doubling, perYear / (perYear + referencePerYear), { power, alpha }));
  if (result.status === 'ok') return { status: 'ok', days: result.time };
  if (stop.index < 0) return { status: 'notEstimable', reason: 'too few of the reference at risk' };
  return { status: 'notEstimable', reason: `not within the ${(stop.time / daysPerYear).toFixed(1)} years for which the reference can be read` };
}
