import fc from 'fast-check';
import type { Cells, Design } from '@/lib/stats/cells';
import { cellsOf } from './rows';

/** One procedure, or `count` alike, of a small registry; times tie often. */
export interface Patient {
  readonly exit: number;
  readonly entry: number;
  readonly event: number;
  readonly count: number;
  readonly stratum: number;
  readonly cluster: number;
  readonly x: readonly number[];
}

/** Two covariates, yes or no and an age. */
export const patients = ({ late = true, strata = 2, minLength = 12, maxLength = 40, largestCount = 3 } = {}): fc.Arbitrary<Patient[]> =>
  fc.array(
    fc.record({
      exit: fc.integer({ min: 1, max: 12 }),
      before: late ? fc.option(fc.integer({ min: 1, max: 12 }), { nil: 99 }) : fc.constant(99),
      event: fc.integer({ min: 0, max: 2 }),
      count: fc.integer({ min: 1, max: largestCount }),
      stratum: fc.integer({ min: 0, max: strata - 1 }),
      cluster: fc.integer({ min: -1, max: 5 }),
      yes: fc.integer({ min: 0, max: 1 }),
      age: fc.constantFrom(50, 65, 80), // few values: where finely graded ones sort the revisions there may be no model to compare
    }).map(({ before, yes, age, ...rest }) => ({ ...rest, entry: rest.exit > before ? rest.exit - before : -Infinity, x: [yes, age] })),
    { minLength, maxLength },
  );

export const cellsFrom = (list: readonly Patient[]): Cells => cellsOf({
  exit: list.map((p) => p.exit), entry: list.map((p) => p.entry), event: list.map((p) => p.event),
  count: list.map((p) => p.count), stratum: list.map((p) => p.stratum), cluster: list.map((p) => p.cluster),
});
export const designFrom = (list: readonly Patient[], names = ['yes', 'age']): Design =>
  ({ names, values: Float64Array.from(list.flatMap((p) => p.x)), pattern: Int32Array.from(list, (_, i) => i) });

/** Each row of n alike as n rows of one. */
export const oneEach = (list: readonly Patient[]): Patient[] => list.flatMap((p) => Array.from({ length: p.count }, () => ({ ...p, count: 1 })));

/** A design with one column. */
export const oneColumn = (x: readonly number[], name = 'x'): Design => ({ names: [name], values: Float64Array.from(x), pattern: Int32Array.from(x, (_, i) => i) });

/** The estimate, or the test fails with the reason why there is none. */
export function estimated<T extends { readonly status: string }>(result: T): Extract<T, { readonly status: 'ok' }> {
  if (result.status !== 'ok') throw new Error(`not estimable: ${JSON.stringify(result)}`);
  return result as Extract<T, { readonly status: 'ok' }>;
}
