import { riskDifference } from '../stats/riskDifference';
import { turnbull } from '../stats/interval/turnbull';
import { turnbullLimits, type ShareBy } from '../stats/interval/turnbullLimits';
import type { Estimate } from '../analysis/result';
import type { NotEstimable } from '../stats/cells';
import { allWindows, comparedGroups, type AskedVisits } from './askedVisits';
import { baseline } from './amounts';
import { notEstimable } from './estimates';
import { signsOf, type Sign } from './signs';
import type { FirstSign, FirstSignOfGroup } from './visitsResult';

const years = [1, 2, 5, 10] as const;
const dayOfYear = new Map(years.map((y) => [y, allWindows.find(({ code }) => code === `${y}y`)!.day]));
const follows = allWindows.filter(({ index }) => index !== baseline.index);

/** Signs that can come with time: not how a component was placed. */
export function firstSigns(asked: AskedVisits): readonly FirstSign[] {
  return signsOf(asked).filter(({ section }) => section !== 'placement').flatMap((sign) => {
    const groups = asked.groups.map((_, g) => ofGroup(asked, sign, g));
    if (groups.every(({ procedures }) => procedures === 0)) return [];
    const percents = (g: number, y: number): Estimate | NotEstimable => groups[g]!.atYears.find((at) => at.years === y)!.estimate;
    return [{
      measure: sign.measure, label: sign.label, groups,
      differences: comparedGroups(asked).flatMap(({ key, index }) => years.map((y) => {
        const own = percents(index, y), other = percents(asked.reference, y);
        const points = 'status' in own ? own : 'status' in other ? other : riskDifference(own, other);
        return { group: key, against: asked.groups[asked.reference]!.key, years: y, points };
      })),
      notes: ['A visit is taken at its planned day. A sign seen once is taken as there from then on; none is taken to be there on the day of the procedure.'],
    }];
  });
}

function ofGroup(asked: AskedVisits, sign: Sign, g: number): FirstSignOfGroup {
  const { data: { procedures, rowAt, visits }, question: { confidence } } = asked, values = visits.values.get(sign.measure)!;
  const cells = new Map<string, { left: number; right: number; count: number; cluster: number }>();
  const tally = { procedures: 0, seenAtFirst: 0, seenLater: 0, neverSeen: 0, laterNotSeen: 0 };
  let lastDay = 0;
  for (let p = 0; p < procedures.size; ++p) {
    if (procedures.group[p] !== g) continue;
    let left = 0, right = Infinity, gone = false, any = false;
    for (const { index, day } of follows) {
      const row = rowAt[index]![p]!, value = row < 0 ? NaN : values[row]!;
      if (Number.isNaN(value)) continue;
      any = true;
      lastDay = Math.max(lastDay, day);
      if (right < Infinity) gone ||= !sign.has(value);
      else if (sign.has(value)) right = day;
      else left = day;
    }
    if (!any) continue;
    ++tally.procedures;
    if (right === Infinity) ++tally.neverSeen;
    else if (left === 0) ++tally.seenAtFirst;
    else ++tally.seenLater;
    if (gone) ++tally.laterNotSeen;
    const cluster = procedures.several[p] === 1 ? procedures.patient[p]! : -1, key = `${left} ${right} ${cluster}`, known = cells.get(key);
    if (known) ++known.count;
    else cells.set(key, { left, right, count: 1, cluster });
  }
  const of = { group: asked.groups[g]!.key, ...tally };
  const rows = [...cells.values()], count = Float64Array.from(rows, (r) => r.count);
  const fit = turnbull({ left: Float64Array.from(rows, (r) => r.left), right: Float64Array.from(rows, (r) => r.right), count });
  if (fit.status !== 'ok') return { ...of, steps: [], atYears: years.map((y) => ({ years: y, estimate: fit })) };
  const steps = turnbullLimits(fit, count, confidence, Int32Array.from(rows, (r) => r.cluster));
  return {
    ...of,
    steps: steps.map(({ from, to, share, lower, upper }) => ({ fromDay: from, toDay: to, percent: 100 * share, lower: 100 * lower, upper: 100 * upper })),
    atYears: years.map((y) => ({ years: y, estimate: by(steps, dayOfYear.get(y)!, lastDay, tally.procedures) })),
  };
}

/** Percent by a day; not beyond the last visit that assessed it, and not inside an interval that holds mass. */
function by(steps: readonly ShareBy[], day: number, lastDay: number, procedures: number): Estimate | NotEstimable {
  if (day > lastDay) return notEstimable('no visit so late has assessed it');
  if (steps.some(({ from, to }) => from < day && day < to)) return notEstimable('no visit then: the sign came between an earlier and a later one');
  const step = steps.filter(({ to }) => to <= day).at(-1);
  if (step === undefined) return notEstimable(`not seen in any of ${procedures} by then, so there are no limits`);
  if (Number.isNaN(step.lower)) return notEstimable('limits cannot be had: too few visits tell when the sign came');
  return { value: 100 * step.share, lower: 100 * step.lower, upper: 100 * step.upper };
}
