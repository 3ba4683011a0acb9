import type { UnitKind } from '../contract/unitsQuestion';
import type { ComparisonFactor } from './comparison';
import type { Condition } from './conditions';
import { enumCode, type Fragment } from './sql';

/** Tells procedures apart by the implanting hospital or the surgeon of record; codes are in the order of identifiers. */
export const unitFactor = (kind: UnitKind): ComparisonFactor => ({
  label: kind === 'hospital' ? 'Hospital' : 'Surgeon',
  code: enumCode(kind),
  key: `${kind}::VARCHAR`,
  labelOf: (key) => key,
  column: kind,
});

/** The last step of the way to procedures that are told apart by their units. */
export const unitRecorded = (kind: UnitKind): Condition =>
  ({ label: `${unitFactor(kind).label} recorded`, sql: `${kind} IS NOT NULL`, params: [], column: kind });

/** Procedures of all units but one, by its code. */
export const unitOtherThan = (kind: UnitKind, unit: number): Fragment => ({ sql: `${enumCode(kind)} <> ?`, params: [unit], column: kind });

/** Which procedures are peers of a unit's: those of these hospitals or surgeons, by their codes, as far as they are not the unit's own. */
export interface PeerCodes { readonly of: UnitKind; readonly codes: readonly number[] }

/** 0: the unit's own procedures, 1: its peers', null: all others. */
export function besidePeers(kind: UnitKind, unit: number, peers: PeerCodes): ComparisonFactor {
  const isPeer = peers.codes.length === 0 ? 'false' : `${enumCode(peers.of)} IN (${peers.codes.join(', ')})`;
  const code = `CASE WHEN ${enumCode(kind)} = ${unit} THEN 0 WHEN ${isPeer} THEN 1 END`;
  return { label: 'Unit or peers', code, key: `CASE ${code} WHEN 0 THEN 'unit' WHEN 1 THEN 'peers' END`, labelOf: (key) => key };
}
