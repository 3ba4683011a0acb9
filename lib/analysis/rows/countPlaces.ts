import type { Columns, Expression } from '../../engine/columns';
import { recentlyUsed, type RecentlyUsed } from '../../engine/recentlyUsed';
import { rowsAtOnce } from './addends';
import { combinations, type Combinations } from './combinations';
import { endsOfFollowUp, type CompetingEvents, type EndsOfFollowUp } from './endsOfFollowUp';

/** A pattern and an end of follow-up for each row, and a table of counts with a place for every end of follow-up of the large patterns. */
export interface CountPlaces extends Combinations {
  readonly ends: EndsOfFollowUp;
  /** The patterns in the table, in its order. */
  readonly inTable: readonly number[];
  /** Of so many rows of `followup` from one on, where in the table each is counted; -1: its pattern is not there, or it is not at risk from the start. */
  readonly places: (from: number, rows: number) => Int32Array;
}

const mostBytes = 64 * 1024 ** 2, askedLately = 4; // curves, model and median follow-up of 5 million procedures
interface Kept { readonly places: RecentlyUsed; keys: readonly string[] }
const stores = new WeakMap<Columns, Kept>();

/**
 * Filters do not change the places: they are kept for what is asked again after few others. What asks of one role after the other would always find them
 * gone, and has them worked out as it goes. @param horizon in days
 */
export async function countPlaces(columns: Columns, factors: readonly Expression[], outcome: Expression, horizon: number, competing?: CompetingEvents): Promise<CountPlaces> {
  const combined = await combinations(columns, factors), ends = await endsOfFollowUp(columns, outcome, horizon, competing), inTable = patternsInTable(combined, ends.above);
  const kept = stores.get(columns) ?? { places: recentlyUsed(mostBytes), keys: [] }, { keys } = kept, key = JSON.stringify([factors, outcome, horizon, competing]);
  stores.set(columns, kept);
  kept.keys = [key, ...keys.filter((other) => other !== key)].slice(0, askedLately);
  const places = placesOf(combined, ends, inTable);
  if (keys.length === askedLately && !keys.includes(key)) return { ...combined, ends, inTable, places };
  const all = await kept.places.get(key, () => Promise.resolve(placesOfAll(combined.numbers.length, places)), ({ byteLength }) => byteLength);
  return { ...combined, ends, inTable, places: (from, rows) => all.subarray(from, from + rows) };
}

function placesOfAll(rows: number, places: CountPlaces['places']): Int32Array {
  const all = new Int32Array(rows);
  for (let from = 0; from < rows; from += rowsAtOnce) all.set(places(from, Math.min(rowsAtOnce, rows - from)), from);
  return all;
}

/** The same memory is used for all. */
function placesOf({ numbers, packed }: Combinations, { end, above, late }: EndsOfFollowUp, inTable: readonly number[]): CountPlaces['places'] {
  const firstPlaces = new Int32Array(packed.length).fill(-1);
  inTable.forEach((pattern, t) => { firstPlaces[pattern] = t * above; });
  const places = new Int32Array(rowsAtOnce), ending = new Int32Array(rowsAtOnce), entering = new Int32Array(rowsAtOnce);
  return (from, rows) => {
    places.set(numbers.subarray(from, from + rows)); // into one kind of array, for one fast loop
    ending.set(end.subarray(from, from + rows));
    if (late !== null) entering.set(late.subarray(from, from + rows));
    toPlaces(places, rows, ending, entering, firstPlaces);
    return places.subarray(0, rows);
  };
}

/** Each pattern becomes the place. */
function toPlaces(patterns: Int32Array, rows: number, ending: Int32Array, entering: Int32Array, firstPlaces: Int32Array): void {
  for (let i = 0; i < rows; ++i) {
    const first = firstPlaces[patterns[i]!]!;
    patterns[i] = first < 0 || entering[i]! > 0 ? -1 : first + ending[i]!;
  }
}

const mostPlaces = 2 ** 22; // 16 MB of counts
const placesToRow = 64; // with more places than this for each of its rows, a table takes longer to read than the rows to sort

/** All where they are few beside the rows, else the largest. */
function patternsInTable({ numbers, packed }: Combinations, above: number): readonly number[] {
  const rows = new Int32Array(packed.length), all = [...rows.keys()];
  if (rows.length * above <= Math.min(numbers.length, mostPlaces)) return all;
  for (let row = 0; row < numbers.length; ++row) rows[numbers[row]!]! += 1;
  return all.filter((number) => rows[number]! * placesToRow >= above).sort((a, b) => rows[b]! - rows[a]!).slice(0, Math.floor(mostPlaces / above));
}
