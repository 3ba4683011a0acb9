import type { Condition } from '../../cohort/conditions';
import type { ComparedGroup, ComparisonFactor } from '../../cohort/comparison';
import { reasonGroupCoding } from '../../cohort/reasonGroups';
import type { Fragment } from '../../cohort/sql';
import { procedurePartsQuery } from '../../cohort/unitParts';
import type { Question } from '../../contract/question';
import type { Database } from '../../engine/database';
import type { Cells } from '../../stats/cells';
import { adjustedCells, type AdjustedCells, type CaseMixTerm } from './caseMixModel';
import { unitCells } from './unitCells';

/** The unit's procedures one by one. */
export interface OwnRows {
  /** Everyone, with the hospital's code. */
  readonly all: Cells;
  readonly hospital: Int32Array;
  /** Those with every covariate recorded; the other columns are of these. */
  readonly complete: AdjustedCells;
  readonly year: Int32Array;
  readonly surgeon: Int32Array; // code
  readonly reason: Int32Array; // position in `reasonGroups`; −1: not revised
  /** Per way of cutting, the part's key; null: in none. */
  readonly parts: readonly (readonly (string | null)[])[];
}

/** `conditions`: the unit's own procedures. */
export async function ownRows(
  database: Database, conditions: readonly (Condition | Fragment)[], factor: ComparisonFactor, unit: ComparedGroup,
  terms: readonly CaseMixTerm[], partKeys: readonly string[], question: Question,
): Promise<OwnRows> {
  const reduced = await unitCells(database, conditions, factor, [unit], question, [{ code: 'procedure' }, reasonGroupCoding]);
  const { all, complete, adjustments, further: [procedure, reason] } = reduced;
  const result = await database.query(procedurePartsQuery(conditions, partKeys));
  const rowOf = new Map(Array.from(result.numbers('procedure'), (number, row) => [number, row]));
  const rowsOf = (patterns: Int32Array): Int32Array => patterns.map((p) => rowOf.get(procedure![p]!)!);
  const rows = rowsOf(complete.pattern), years = result.numbers('year'), surgeons = result.numbers('surgeon'), hospitals = result.numbers('hospital');
  return {
    all: all.cells,
    hospital: rowsOf(all.pattern).map((row) => hospitals[row]!),
    complete: adjustedCells(complete, adjustments, terms),
    year: rows.map((row) => years[row]!),
    surgeon: rows.map((row) => surgeons[row]!),
    reason: complete.pattern.map((p) => reason![p]!),
    parts: partKeys.map((_, i) => {
      const keys = result.texts(`part_${i}`);
      return Array.from(rows, (row) => keys[row] ?? null);
    }),
  };
}
