import { reasonGroups } from '../../cohort/reasonGroups';
import type { Fragment } from '../../cohort/sql';
import { partSizesQuery } from '../../cohort/unitParts';
import type { Question } from '../../contract/question';
import type { Database } from '../../engine/database';
import { countsByPart, countedCells, type CountedCells } from './unitCounts';
import type { AdjustedCells, CaseMixTerm } from './caseMixModel';
import { driverOf, reasonDriver } from './drivers';
import type { OwnRows } from './ownRows';
import { peerPartCounts } from './peerParts';
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
  peers: readonly Fragment[], terms: readonly CaseMixTerm[], question: Question,
): Promise<readonly Driver[]> {
  const { confidence } = question;
  const { hazard } = reference;
  if (hazard.status !== 'ok') return [];
  const everyone = new Int32Array(rows.reason.length);
  const expected = reasonHazards(hazard, causes, reasonGroups.length).map((ofReason) => {
    const of = countedCells(rows.complete, { ...reference, hazard: ofReason });
    return of.status === 'ok' ? countsByPart(of, everyone, 1)[0]!.expected : NaN;
  });
  const revised = reasonGroups.map((_, r) => causes.count.reduce((sum, n, i) => (causes.cause[i] === r ? sum + n : sum), 0));
  const sizes = await database.query(partSizesQuery(peers, cuts.map(({ key }) => key)));
  const cut = sizes.numbers('cut'), parts = sizes.texts('part'), counts = sizes.numbers('procedures');
  const sizesOf = (k: number): ReadonlyMap<string | null, number> =>
    new Map(parts.flatMap((part, row) => (cut[row] === k ? [[part, counts[row]!] as const] : [])));
  const drivers = [reasonDriver(counted, rows.reason, expected, revised, confidence)];
  for (const [k, by] of cuts.entries()) {
    const keyOf = rows.parts[k]!, procedures = sizesOf(k), shared = [...new Set(keyOf)].filter((key) => procedures.has(key));
    drivers.push(driverOf(by, counted, keyOf, { procedures, counts: await peerPartCounts(database, peers, by, shared, terms, reference, question) }, confidence));
  }
  return drivers;
}
