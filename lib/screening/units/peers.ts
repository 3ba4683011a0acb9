import type { Fragment } from '../../cohort/sql';
import type { PeerCodes } from '../../cohort/unit';
import type { ChosenUnit, UnitsQuestion } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';
import { unitSizes, type UnitSize } from './unitSizes';

/** The unit by its code, and whose procedures are its peers'. */
export interface ChosenPeers { readonly status: 'ok'; readonly unit: number; readonly peers: PeerCodes; readonly label: string }
export interface NoPeers { readonly status: 'none'; readonly reason: string }

const plural = { hospital: 'hospitals', surgeon: 'surgeons' } as const;

/** Those that the question holds a unit against. Volumes and regions are those of the cohort's procedures. */
export async function choosePeers(
  database: Database, conditions: readonly Fragment[], question: UnitsQuestion, { kind, id, chosenPeers }: ChosenUnit,
): Promise<ChosenPeers | NoPeers> {
  const sizes = await unitSizes(database, conditions, kind), unit = sizes.find(({ key }) => key === id);
  if (unit === undefined) return { status: 'none', reason: `No procedure of this ${kind} meets these conditions.` };
  const others = (like: (other: UnitSize) => boolean): PeerCodes =>
    ({ of: kind, codes: sizes.filter((other) => other !== unit && like(other)).map(({ code }) => code) });
  const found = (peers: PeerCodes, label: string): ChosenPeers | NoPeers =>
    (peers.codes.length > 0 ? { status: 'ok', unit: unit.code, peers, label }
      : { status: 'none', reason: `There are no peers to hold this ${kind} against: ${label}.` });

  switch (question.peers) {
    case 'all': return found(others(() => true), `all other ${plural[kind]}`);
    case 'volume': {
      const band = thirdsByVolume(sizes), alike = (size: UnitSize): boolean => band.get(size) === band.get(unit);
      const range = volumeRange(sizes.filter(alike).map(({ yearlyVolume }) => yearlyVolume));
      return found(others(alike), `${plural[kind]} of the same third of yearly volume, ${range} procedures in a year with any`);
    }
    case 'region':
      if (unit.region === null) return { status: 'none', reason: `The region of this ${kind} is not recorded.` };
      return found(others(({ region }) => region === unit.region), `${plural[kind]} of the same region`);
    case 'chosen': {
      const chosen = new Set(chosenPeers), hospitals = kind === 'hospital' ? sizes : await unitSizes(database, conditions, 'hospital');
      const codes = hospitals.filter(({ key }) => chosen.has(key) && !(kind === 'hospital' && key === id)).map(({ code }) => code);
      const places = `${codes.length} chosen ${codes.length === 1 ? 'hospital' : 'hospitals'}`;
      return found({ of: 'hospital', codes }, kind === 'hospital' ? places : `other surgeons at ${places}`);
    }
  }
}

const volumeRange = (volumes: readonly number[]): string => `${Math.min(...volumes).toFixed(1)} to ${Math.max(...volumes).toFixed(1)}`;

/** The third of all units by how much they do a year, 0–2, by how many do less; those alike are in the same third. */
export function thirdsByVolume<T extends Pick<UnitSize, 'yearlyVolume'>>(units: readonly T[]): ReadonlyMap<T, number> {
  const ascending = units.map(({ yearlyVolume }) => yearlyVolume).sort((a, b) => a - b);
  return new Map(units.map((unit) => [unit, Math.floor((3 * ascending.indexOf(unit.yearlyVolume)) / units.length)]));
}
