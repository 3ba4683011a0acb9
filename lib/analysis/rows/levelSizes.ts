import type { ComparisonFactor } from '../../cohort/comparison';
import { levelsQuery } from '../../cohort/levels';
import type { Fragment } from '../../cohort/sql';
import type { Database } from '../../engine/database';
import { cohortRows } from './cohortRows';

export interface LevelSize { readonly code: number; readonly key: string; readonly procedures: number }

/** The levels of a comparison that occur in a cohort, largest first, those of one size by their keys. */
export async function levelSizes(database: Database, conditions: readonly Fragment[], factor: ComparisonFactor): Promise<readonly LevelSize[]> {
  const { column, code, key } = factor;
  if (column === undefined) {
    const result = await database.query(levelsQuery(conditions, factor)), codes = result.numbers('code'), procedures = result.numbers('procedures');
    return result.texts('level_key').map((text, i) => ({ code: codes[i]!, key: text ?? '', procedures: procedures[i]! }));
  }
  const { columns, counts } = await cohortRows(database, conditions, factor);
  const known = await columns.overValues(column, (table) => ({
    sql: `SELECT (${code})::INTEGER AS code, any_value(${key}) AS level_key FROM ${table} WHERE ${code} IS NOT NULL GROUP BY 1 ORDER BY level_key`, params: [],
  }));
  const codes = known.numbers('code');
  return known.texts('level_key').map((text, i) => ({ code: codes[i]!, key: text ?? '', procedures: counts[codes[i]! + 2] ?? 0 }))
    .filter(({ procedures }) => procedures > 0).sort((a, b) => b.procedures - a.procedures);
}
