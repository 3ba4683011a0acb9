import type { CompetingGroup } from '../analysis/chapters/competingRisksResult';
import type { Analysis, Curve } from '../analysis/result';
import { toldSteps } from '../disclosure/toldSteps';
import { smallestCount } from './smallCounts';
import { monthEnds } from './timeAxis';

// When a curve may be told outside the page. A step of it gives the day of somebody's revision away, and its height how many there were: so it is
// read at month ends, and at those only between which nothing, or enough, happened.

/** A step of S by d/n: d = n (S before − S after) / S before. */
export const revisionsOf = ({ percent, atRisk }: Curve): readonly number[] =>
  Array.from(percent, (after, i) => { const before = i === 0 ? 0 : percent[i - 1]!; return before >= 100 ? 0 : Math.round((atRisk[i]! * (after - before)) / (100 - before)); });

/** A step of the incidence by d/n of those who had no event before: d = n (F after − F before) / S before. All curves of a group have the same days. */
export function incidencesOf(of: Curve, { curves: { revision, otherRevision, death } }: Pick<CompetingGroup, 'curves'>): readonly number[] {
  return Array.from(of.percent, (after, i) => {
    const before = (curve: Curve | null) => (curve === null || i === 0 ? 0 : curve.percent[i - 1]!);
    const eventFree = 100 - before(revision) - before(otherRevision) - before(death);
    return eventFree <= 0 ? 0 : Math.round((of.atRisk[i]! * (after - before(of))) / eventFree);
  });
}

export interface Happened { readonly events: readonly number[]; readonly total: number }

/** A day at which a curve may be told, and how many of each kind of event there were up to it. */
export interface Told { readonly day: number; readonly counts: readonly number[] }

/** Month ends at which a curve may be told. `kinds`: per kind of event that it shows, how many at each of its days, and in all. */
export function toldDays({ days, stop }: Pick<Curve, 'days' | 'stop'>, kinds: readonly Happened[]): readonly Told[] {
  const ends = days.length === 0 ? [] : monthEnds(stop.day);
  const running = kinds.map(({ events }) => {
    let sum = 0, i = 0;
    return ends.map((end) => { while (i < days.length && days[i]! <= end) sum += events[i++]!; return sum; });
  });
  const happened = kinds.map(({ events, total }) => Math.max(total, events.reduce((sum, n) => sum + n, 0)));
  return toldSteps(running, happened, smallestCount()).map((i) => ({ day: ends[i]!, counts: running.map((counts) => counts[i]!) }));
}

/** Of a curve of percent revised, of a group with so many revised in all. */
export const toldOf = (curve: Curve, revised = 0): readonly Told[] => toldDays(curve, [{ events: revisionsOf(curve), total: revised }]);

/** Running counts at some times: of each that may not be told a small count, else 0. */
export function smallAtSteps(running: readonly number[], total = running.at(-1) ?? 0): readonly number[] {
  const told = new Set(toldSteps([running], [Math.max(total, running.at(-1) ?? 0)], smallestCount()));
  return running.map((_, i) => (told.has(i) ? 0 : 1));
}

/** What keeps a number at one of the times asked for inside, as few were revised between it and the next that is told; none where nothing does. */
export function stepAt({ atTimes, groups }: Pick<Analysis, 'atTimes' | 'groups'>, group: string, years: number): readonly number[] {
  const own = atTimes.filter((at) => at.group === group).sort((a, b) => a.years - b.years);
  return smallAtSteps(own.map(({ events }) => events), groups.find(({ key }) => key === group)?.events).filter((small, i) => small > 0 && own[i]?.years === years);
}
