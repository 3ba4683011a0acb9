import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import type { Cells } from '@/lib/stats/cells';

/** Procedures as columns, one entry each unless counted. */
export interface Rows {
  readonly exit: readonly number[];
  readonly event: readonly number[];
  readonly entry?: readonly number[];
  readonly count?: readonly number[];
  readonly stratum?: readonly number[];
  readonly cluster?: readonly number[];
}

export const cellsOf = ({ exit, event, entry, count, stratum, cluster }: Rows): Cells => ({
  exit: Float64Array.from(exit),
  event: Uint8Array.from(event),
  count: count ? Float64Array.from(count) : new Float64Array(exit.length).fill(1),
  ...(entry && { entry: Float64Array.from(entry) }),
  ...(stratum && { stratum: Int32Array.from(stratum) }),
  ...(cluster && { cluster: Int32Array.from(cluster) }),
});

/** What `tests/reference/<topic>.R` wrote. */
export const fixture = (topic: string): unknown => JSON.parse(readFileSync(new URL(`../reference/fixtures/${topic}.json`, import.meta.url), 'utf8'));

/** One procedure of a small registry with many ties. */
export interface Procedure { readonly exit: number; readonly event: number; readonly entry: number; readonly group: number; readonly count: number }

/** `lastEvent` 1: nothing competes; `late`: some enter after day 0. */
export const procedures = ({ lastEvent = 3, groups = 2, late = true, minLength = 1, maxLength = 60 } = {}): fc.Arbitrary<Procedure[]> =>
  fc.array(
    fc.record({
      exit: fc.integer({ min: 0, max: 12 }),
      event: fc.integer({ min: 0, max: lastEvent }),
      before: late ? fc.option(fc.integer({ min: 1, max: 12 }), { nil: 99 }) : fc.constant(99),
      group: fc.integer({ min: 0, max: groups - 1 }),
      count: fc.integer({ min: 1, max: 4 }),
    }).map(({ before, ...rest }) => ({ ...rest, entry: rest.exit - before >= 0 ? rest.exit - before : -Infinity })),
    { minLength, maxLength },
  );

export const cellsOfProcedures = (list: readonly Procedure[]): Cells =>
  cellsOf({ exit: list.map((p) => p.exit), event: list.map((p) => p.event), entry: list.map((p) => p.entry), count: list.map((p) => p.count) });
export const groupOf = (list: readonly Procedure[]): Int32Array => Int32Array.from(list, (p) => p.group);

/** Each cell of n procedures as n cells of one. */
export const oneByOne = (list: readonly Procedure[]): Procedure[] => list.flatMap((p) => Array.from({ length: p.count }, () => ({ ...p, count: 1 })));
