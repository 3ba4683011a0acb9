import type { ComparisonFactor } from '../../cohort/comparison';
import type { Coding } from '../../cohort/covariate';
import { daysOfYears } from '../../cohort/days';
import { eventFragment } from '../../cohort/outcome';
import type { Fragment } from '../../cohort/sql';
import type { Question } from '../../contract/question';
import type { Coded } from '../../engine/columns';
import type { Database } from '../../engine/database';
import { addendOf, leftOut, mostSum } from './addends';
import type { CountedCells } from './cellList';
import { clusterOfRow } from './clusterOfRow';
import { codeExpression, cohortRows } from './cohortRows';
import { countCells } from './countCells';

/** Cells with the radices that their patterns are packed by (see `unpackPattern`). */
export interface PackedCells { readonly cells: CountedCells; readonly radices: readonly number[] }

/** The cohort by cells, counted over the columns of `followup`; null where there are too many combinations of the factors for it. */
export async function reduceRows(
  database: Database, conditions: readonly Fragment[], comparison: ComparisonFactor,
  factors: readonly Pick<Coding, 'code' | 'column'>[], { outcome, cohort, cluster, horizonYears }: Question,
): Promise<PackedCells | null> {
  const rows = await cohortRows(database, conditions, comparison);
  const coded: Coded[] = [];
  for (const factor of factors) coded.push(await rows.columns.coded(codeExpression(factor)));
  const radices = [rows.counts.length - 1, ...coded.map(({ values }) => values.reduce((most, value) => (value > most ? value : most), -1) + 2)];
  const count = radices.reduce((product, radix) => product * radix, 1);
  if (count > mostSum) return null;
  const strides = radices.map((_, f) => radices.slice(f + 1).reduce((product, radix) => product * radix, 1));
  const clusterOf = await clusterOfRow(rows, cluster);
  const addends = [
    { positions: rows.levels, adds: Int32Array.from(rows.counts, (_, level) => (level === 0 ? leftOut : (level - 1) * strides[0]!)) },
    ...coded.map((factor, f) => addendOf(factor, (value) => (Number.isNaN(value) ? 0 : (value + 1) * strides[f + 1]!))),
  ];
  const cells = await countCells(rows.columns, {
    patterns: { addends, count },
    outcome: await rows.columns.coded(eventFragment(outcome, cohort.role)),
    horizon: daysOfYears(horizonYears),
    ...(clusterOf !== undefined && { clusterOf }),
  });
  return { cells, radices };
}
