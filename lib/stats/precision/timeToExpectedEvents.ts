import type { NotEstimable } from '../cells';
import type { KaplanMeier } from '../kaplanMeier';
import type { Stop } from '../stopRule';

/**
 * How long from the first procedure until so many events are expected, when `perTime` procedures are done per unit of time, evenly, and
 * revised as in the reference curve: perTime ∫₀ᵀ F(u) du = events. With an incidence against which death competes, the dead are allowed for.
 * To see a ratio by Schoenfeld's formula, count both groups, the one in question times the ratio.
 */
export function timeToExpectedEvents({ table, survival }: KaplanMeier, stop: Stop, perTime: number, events: number): { readonly status: 'ok'; readonly time: number } | NotEstimable {
  if (!(perTime > 0)) return { status: 'notEstimable', reason: 'no procedures are done' };
  const needed = events / perTime;
  let area = 0;
  for (let j = 0; j <= stop.index; ++j) {
    const risk = 1 - survival[j]!, end = j < stop.index ? table.time[j + 1]! : table.time[j]!;
    const gain = risk * (end - table.time[j]!);
    if (risk > 0 && area + gain >= needed) return { status: 'ok', time: table.time[j]! + (needed - area) / risk };
    area += gain;
  }
  const followed = stop.index < 0 ? 0 : stop.time;
  return { status: 'notEstimable', reason: `not within the follow-up known of the comparator (${followed})` };
}
