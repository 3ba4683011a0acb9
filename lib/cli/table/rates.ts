import type { Cells } from '../../stats/cells';
import { exposure, ratePer100 } from '../../stats/rates';
import { indexesByGroup, subset } from '../../stats/subset';

/** Events of interest per 100 units of the table's time. */
export const ratesByGroup = (cells: Cells, group: Int32Array, levels: readonly string[]) =>
  indexesByGroup(group, levels.length).map((indexes, g) => {
    const { events, time } = exposure(subset(cells, indexes));
    const rate = ratePer100(events, time);
    const row = { group: levels[g]!, events, time };
    return rate.status === 'ok'
      ? { ...row, per100: rate.per100, lower: rate.lower, upper: rate.upper }
      : { ...row, per100: null, lower: null, upper: null, ...rate };
  });
