import { reasonGroups } from '../../cohort/reasonGroups';
import type { Fragment } from '../../cohort/sql';
import { partSizesQuery } from '../../cohort/unitParts';
import type { Database } from '../../engine/database';
import { countsByPart, countedCells, type CountedCells } from './unitCounts';
import type { AdjustedCells } from './caseMixModel';
import { driverOf, reasonDriver } from './drivers';
import type { OwnRows } from './ownRows';
import { reasonHazards, type CausesByDay } from './reasonHazards';
import type { UnitCut } from './unitCuts';
import type { UnitReference } from './unitReference';
import type { Driver } from './unitsResult';

/** The peers' revisions that the reference is made of, by day and reason. `reason`: per pattern, the position in `reasonGroups`. */
export function revisionsByDay({ cells, unit, fine }: AdjustedCells, reason: Int32Array, own: number, untilDay: number): CausesByDay {
  const indexes = Int32Array.from(unit.keys()).filter((i) => unit[i] !== own && cells.event[i] === 1 && cells.exit[i]! <= untilDay);
  return {
    day: Float64Array.from(indexes, (i) => cells.exit[i]!),
    cause: Int32Array.from(indexes, (i) => reason[fine[i]!]!),
    count: Float64Array.from(indexes, (i) => cells.count[i]!),
  };
}

/** What drives the difference: reasons first, then every cut. `peers`: conditions of the peers' procedures with every covariate recorded. */
export async function unitDrivers(
  database: Database, counted: CountedCells, rows: OwnRows, reference: UnitReference, causes: CausesByDay, cuts: readonly UnitCut[],
  peers: readonly Fragment[], confidence: number,
): Promise<readonly Driver[]> {
  const { hazard } = reference;
  if (hazard.status !== 'ok') return [];
  const everyone = new Int32Array(rows.reason.length);
  const expected = reasonHazards(hazard, causes, reasonGroups.length).map((ofReason) => {
    const of = countedCells(rows.complete, { ...reference, hazard: ofReason });
    return of.status === 'ok' ? countsByPart(of, everyone, 1)[0]!.expected : NaN;
  });
  const revised = reasonGroups.map((_, r) => causes.count.reduce((sum, n, i) => (causes.cause[i] === r ? sum + n : sum), 0));
  const sizes = await database.query(partSizesQuery(peers, cuts.map(({ key }) => key)));
  const cut = sizes.numbers('cut'), parts = sizes.texts('part'), procedures = sizes.numbers('procedures');
  const sizesOf = (k: number): ReadonlyMap<string | null, number> =>
    new Map(parts.flatMap((part, row) => (cut[row] === k ? [[part, procedures[row]!] as const] : [])));
  return [
    reasonDriver(counted, rows.reason, expected, revised, confidence),
    ...cuts.map((by, k) => driverOf(by, counted, rows.parts[k]!, sizesOf(k), confidence)),
  ];
}
