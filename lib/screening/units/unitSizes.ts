import { crossTable } from '../../analysis/rows/crossTable';
import { cohortRows } from '../../analysis/rows/cohortRows';
import { levelSizes } from '../../analysis/rows/levelSizes';
import { enumCode, type Fragment } from '../../cohort/sql';
import { unitFactor } from '../../cohort/unit';
import type { UnitKind } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';

/** A hospital or surgeon of the cohort. */
export interface UnitSize {
  readonly code: number;
  readonly key: string;
  readonly label: string;
  readonly procedures: number;
  readonly yearlyVolume: number; // procedures per calendar year in which it had any
  readonly region: number | null; // that of most of its procedures, the first of several
}

/** In the order of identifiers. */
export async function unitSizes(database: Database, conditions: readonly Fragment[], kind: UnitKind): Promise<readonly UnitSize[]> {
  const factor = unitFactor(kind), rows = await cohortRows(database, conditions, factor);
  const byYear = await crossTable(rows, { sql: '"year"', params: [], column: 'year' }), byRegion = await crossTable(rows, { sql: enumCode('region'), params: [], column: 'region' });
  return (await levelSizes(database, conditions, factor)).toSorted((a, b) => a.code - b.code).map(({ code, key, procedures }) => {
    const region = byRegion.values.reduce((most, value, place) => {
      const n = Number.isNaN(value) ? 0 : byRegion.count(code, place);
      return n > most.n ? { value, n } : most;
    }, { value: NaN, n: 0 }).value;
    return {
      code, key, label: key, procedures,
      yearlyVolume: procedures / byYear.values.filter((year, place) => !Number.isNaN(year) && byYear.count(code, place) > 0).length,
      region: Number.isNaN(region) ? null : region,
    };
  });
}
