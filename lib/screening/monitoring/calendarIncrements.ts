import type { Cells, Design } from '../../stats/cells';
import { firstAbove } from '../../stats/distinctTimes';
import { relativeHazards, type ReferenceHazard } from '../standardisation/referenceHazard';

/** A unit's revisions day by day; entry t is of calendar day `firstDay` + t. */
export interface CalendarIncrements {
  readonly firstDay: number;
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  /** Procedures unlike any of the reference: in neither number. */
  readonly incomparable: number;
}

/**
 * What each calendar day adds to a unit's observed and expected revisions. Times of the cells are whole days since surgery; `surgery` is the
 * calendar day of it, one entry per cell, counted in days from any fixed date. The period is `firstDay` … `lastDay`, both included; what is
 * not yet reported at its end counts as not having happened, so let it end where reporting is complete.
 */
export function calendarIncrements(
  reference: ReferenceHazard, cells: Cells, design: Design, surgery: Int32Array, [firstDay, lastDay]: readonly [number, number],
): CalendarIncrements {
  if (!(lastDay >= firstDay)) throw new RangeError(`the period must not end before it begins (${firstDay}): ${lastDay}`);
  if (surgery.length !== cells.exit.length) throw new RangeError(`surgery must have one entry per cell (${cells.exit.length}): ${surgery.length}`);
  const days = lastDay - firstDay + 1, relative = relativeHazards(reference, design);
  const observed = new Float64Array(days), expected = new Float64Array(days);
  let incomparable = 0;
  for (let i = 0; i < cells.exit.length; ++i) {
    const stratum = reference.strata.get(cells.stratum?.[i] ?? 0), ratio = relative[design.names.length === 0 ? 0 : design.pattern[i]!]!;
    if (stratum === undefined || Number.isNaN(ratio)) {
      incomparable += cells.count[i]!;
      continue;
    }
    const count = cells.count[i]!, from = surgery[i]! - firstDay, exit = cells.exit[i]!, until = Math.min(exit, stratum.reach);
    const { time, cumulativeHazard } = stratum, last = firstAbove(time, until);
    for (let k = firstAbove(time, Math.max(cells.entry?.[i] ?? -Infinity, -from - 1)); k < last; ++k) {
      const day = from + time[k]!;
      if (day >= days) break;
      expected[day]! += count * ratio * (cumulativeHazard[k]! - (k === 0 ? 0 : cumulativeHazard[k - 1]!));
    }
    const day = from + exit;
    if (cells.event[i] === 1 && exit <= stratum.reach && day >= 0 && day < days) observed[day]! += count;
  }
  return { firstDay, observed, expected, incomparable };
}
