import type { Estimate } from '../../analysis/result';
import { reasonGroups } from '../../cohort/reasonGroups';
import type { NotEstimable } from '../../stats/cells';
import { standardisedRatio } from '../standardisation/standardisedRatio';
import { countsByPart, type CountedCells, type UnitCount } from './unitCounts';
import type { UnitCut } from './unitCuts';
import type { Driver, DriverLevel, YearOfSurgery } from './unitsResult';

/** Observed to expected with exact limits. */
export function ratioEstimate({ observed, expected }: Pick<UnitCount, 'observed' | 'expected'>, confidence: number): Estimate | NotEstimable {
  const found = standardisedRatio(observed, expected, confidence);
  return found.status === 'ok' ? { value: found.ratio, lower: found.lower, upper: found.upper } : found;
}

type Counts = Pick<UnitCount, 'procedures' | 'observed' | 'expected'>;

const levelOf = (key: string, label: string, { procedures, observed, expected }: Counts, peers: Pick<DriverLevel, 'peersRatio' | 'peersPercent'>, confidence: number): DriverLevel =>
  ({ key, label, procedures, observed, expected, excess: observed - expected, ratio: ratioEstimate({ observed, expected }, confidence), ...peers });

/** The peers' procedures by part, and what was observed and expected there; null: not worked out. */
export interface PeerParts {
  readonly procedures: ReadonlyMap<string | null, number>;
  readonly counts: ReadonlyMap<string | null, Counts> | null;
}

/** Where in the unit's procedures the difference lies: what is observed and what expected in every part of them. */
export function driverOf(
  { name, label, labelOf, ordered, note }: UnitCut, rows: CountedCells, keyOf: readonly (string | null)[], peers: PeerParts, confidence: number,
): Driver {
  const keys = [...new Set(keyOf)], place = new Map(keys.map((key, i) => [key, i]));
  const counts = countsByPart(rows, Int32Array.from(keyOf, (key) => place.get(key)!), keys.length);
  const allPeers = [...peers.procedures.values()].reduce((sum, n) => sum + n, 0);
  const ofPeers = (key: string | null) => {
    const usual = peers.counts?.get(key);
    return { peersPercent: (100 * (peers.procedures.get(key) ?? 0)) / allPeers, peersRatio: usual === undefined ? null : ratioEstimate(usual, confidence) };
  };
  const levels = keys.map((key, i) => levelOf(key ?? 'none', labelOf(key), counts[i]!, ofPeers(key), confidence));
  const byKey = (a: DriverLevel, b: DriverLevel): number => (a.key < b.key ? -1 : 1);
  return { name, label, note, levels: levels.filter(({ procedures }) => procedures > 0).sort((a, b) => (ordered ? 0 : b.procedures - a.procedures) || byKey(a, b)) };
}

/** What the unit was revised for. `expected` and the revisions of the peers are by position in `reasonGroups`, as is `reason`, per row. */
export function reasonDriver(
  rows: CountedCells, reason: Int32Array, expected: readonly number[], peers: readonly number[], confidence: number,
): Driver {
  const procedures = countsByPart(rows, new Int32Array(reason.length), 1)[0]!.procedures, counts = countsByPart(rows, reason, reasonGroups.length);
  const allPeers = peers.reduce((sum, n) => sum + n, 0);
  const levels = reasonGroups.map(({ key, label }, r) =>
    levelOf(key, label, { procedures, observed: counts[r]!.observed, expected: expected[r]! }, { peersPercent: (100 * peers[r]!) / allPeers, peersRatio: null }, confidence));
  return {
    name: 'reason',
    label: 'Reason for revision',
    note: 'Every procedure is at risk of every reason. Who codes reasons differently from the peers has other numbers here, yet the same sum.',
    levels: levels.filter((level) => level.observed > 0 || level.expected > 0),
  };
}

/** By calendar year of the procedure. */
export function yearsOfSurgery(rows: CountedCells, year: Int32Array, confidence: number): readonly YearOfSurgery[] {
  const years = [...new Set(year)].sort((a, b) => a - b), place = new Map(years.map((y, i) => [y, i]));
  return countsByPart(rows, year.map((y) => place.get(y)!), years.length).flatMap(({ procedures, observed, expected }, i) =>
    (procedures === 0 ? [] : [{ year: years[i]!, procedures, observed, expected, ratio: ratioEstimate({ observed, expected }, confidence) }]));
}
