import type { ComparisonFactor } from '../cohort/comparison';
import type { Condition } from '../cohort/conditions';
import { zonesQuery } from '../cohort/visits';
import { zonalField, zonalSigns } from '../contract/zones';
import type { Database } from '../engine/database';
import { allWindows, type AskedVisits } from './askedVisits';
import { percentOf } from './estimates';
import type { ZoneMap } from './visitsResult';

/** The signs that are read by zones, zone by zone, at each visit that read any. */
export async function zoneMaps(database: Database, conditions: readonly Condition[], factor: ComparisonFactor, asked: AskedVisits): Promise<readonly ZoneMap[]> {
  const signs = zonalSigns.filter(({ code }) => asked.measures.some((m) => m.name === code));
  if (signs.length === 0) return [];
  const found = await database.query(zonesQuery(conditions, factor)), code = found.numbers('code'), visit = found.numbers('visit');
  const rowOf = (group: number, window: number): number => code.findIndex((c, i) => c === group && visit[i] === window);
  return signs.flatMap((sign) => asked.windows.flatMap((window): ZoneMap[] => {
    const zones = sign.zones.map((zone) => {
      const field = zonalField(sign.code, zone.code), read = found.numbers(`read_${field}`), having = found.numbers(`with_${field}`);
      const groups = asked.groups.map((group) => {
        const row = rowOf(group.code, window.index), assessed = read[row] ?? 0, present = having[row] ?? 0;
        return { group: group.key, assessed, present, percent: percentOf(present, assessed, asked.question.confidence) };
      });
      return { zone: zone.code, label: zone.label, groups };
    });
    if (zones.every(({ groups }) => groups.every(({ assessed }) => assessed === 0))) return [];
    return [{ sign: sign.code, label: sign.label, structure: sign.structure, window: allWindows[window.index]!.code, zones }];
  }));
}
