import { combinations } from '../../analysis/rows/combinations';
import { codeExpression, cohortRows, type CohortRows } from '../../analysis/rows/cohortRows';
import { endsOfFollowUp, type EndsOfFollowUp } from '../../analysis/rows/endsOfFollowUp';
import type { ComparisonFactor } from '../../cohort/comparison';
import { codings } from '../../cohort/covariate';
import { daysOfYears } from '../../cohort/days';
import { eventCode, eventFragment } from '../../cohort/outcome';
import { unpackPattern } from '../../cohort/patterns';
import type { Fragment } from '../../cohort/sql';
import { unitFactor } from '../../cohort/unit';
import type { Question } from '../../contract/question';
import type { UnitKind } from '../../contract/unitsQuestion';
import { columnsOf, type Positions } from '../../engine/columns';
import type { Database } from '../../engine/database';
import { cumulativeHazardAt, relativeHazards, type ReferenceHazard } from '../standardisation/referenceHazard';
import { caseMixDesign, type CaseMixTerm } from './caseMixModel';
import type { UnitCount } from './unitCounts';

/** Procedures of a cohort row by row of `followup`, by unit and case mix. With many units there are nearly as many cells as rows, and rows need not be sorted. */
export interface UnitRows {
  readonly rows: CohortRows; // the level is the unit
  readonly mix: Positions;
  /** Per case mix: the code of each covariate; −1: not recorded. */
  readonly codes: readonly (readonly number[])[];
  readonly ends: EndsOfFollowUp;
}

/** All procedures as one group: what units are held against is counted without telling them apart. */
export const everyone = (kind: UnitKind): ComparisonFactor => ({ label: 'Everyone', code: '0', key: "'all'", labelOf: (key) => key, column: kind });

export async function unitRows(database: Database, conditions: readonly Fragment[], kind: UnitKind, { adjust, outcome, cohort, horizonYears }: Question): Promise<UnitRows> {
  const columns = columnsOf(database), factors = [everyone(kind), ...[...new Set(adjust)].map((covariate) => codings[covariate])];
  const { numbers, packed, radices } = await combinations(columns, factors.map(codeExpression));
  return {
    rows: await cohortRows(database, conditions, unitFactor(kind)),
    mix: numbers,
    codes: Array.from(packed, (number) => unpackPattern(number, radices).slice(1)),
    ends: await endsOfFollowUp(columns, eventFragment(outcome, cohort.role), daysOfYears(horizonYears)),
  };
}

const isComplete = (codes: readonly number[]): boolean => codes.every((code) => code >= 0);

/** Per code of a unit: its procedures with every covariate recorded. */
export function completeOfUnits({ rows: { levels, counts }, mix, codes }: UnitRows): Float64Array {
  const complete = Uint8Array.from(codes, (of) => (isComplete(of) ? 1 : 0)), procedures = new Float64Array(counts.length);
  for (let row = 0; row < levels.length; ++row) procedures[levels[row]!]! += complete[mix[row]!]!;
  return procedures.subarray(2);
}

/** Each unit, by its code, held against the reference. */
export function countsOfUnits({ rows: { levels, counts }, mix, codes, ends: { end, above, late } }: UnitRows, terms: readonly CaseMixTerm[], hazard: ReferenceHazard): (code: number) => UnitCount {
  const relative = relativeHazards(hazard, caseMixDesign(terms, terms.map((_, f) => Int32Array.from(codes, (of) => of[f]!)), codes.length));
  const ratio = Float64Array.from(codes, (of, m) => (isComplete(of) ? relative[terms.length === 0 ? 0 : m]! : NaN));
  const stratum = hazard.strata.get(0)!, { reach } = stratum, hazardTo = Float64Array.from({ length: above / 4 }, (_, day) => cumulativeHazardAt(stratum, Math.min(day, reach)));
  const procedures = new Float64Array(counts.length), observed = new Float64Array(counts.length), expected = new Float64Array(counts.length);
  for (let row = 0; row < levels.length; ++row) {
    const unit = levels[row]!, weight = ratio[mix[row]!]!;
    if (unit === 0 || Number.isNaN(weight)) continue; // in no unit, or without its like in the reference
    const day = end[row]! >> 2, entry = late === null ? 0 : late[row]!;
    procedures[unit]! += 1;
    expected[unit]! += weight * (hazardTo[day]! - (entry === 0 ? 0 : hazardTo[entry - 1]!));
    if (day <= reach && (end[row]! & 3) === eventCode.ofInterest) observed[unit]! += 1;
  }
  return (code) => ({ status: 'ok', procedures: procedures[code + 2]!, observed: observed[code + 2]!, expected: expected[code + 2]! });
}
