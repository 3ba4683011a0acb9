import type { Fragment } from '../../cohort/sql';
import { unitSizesQuery } from '../../cohort/unitSizes';
import type { UnitKind } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';

/** A hospital or surgeon of the cohort. */
export interface UnitSize {
  readonly code: number;
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
  readonly yearlyVolume: number; // procedures per calendar year in which it had any
  readonly region: number | null; // that of most of its procedures
}

/** In the order of identifiers. */
export async function unitSizes(database: Database, conditions: readonly Fragment[], kind: UnitKind): Promise<readonly UnitSize[]> {
  const result = await database.query(unitSizesQuery(conditions, kind));
  const codes = result.numbers('code'), procedures = result.numbers('procedures'), years = result.numbers('active_years'), region = result.numbers('region');
  return result.texts('id').map((id, i) => ({
    code: codes[i]!, key: id ?? '', label: id ?? '', procedures: procedures[i]!,
    yearlyVolume: procedures[i]! / years[i]!,
    region: Number.isNaN(region[i]!) ? null : region[i]!,
  }));
}
