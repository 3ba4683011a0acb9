import { afterYear, atHospitals, firstJoint, majorRevision, metalBacked, newAtHospital } from '../../../cohort/alternatives';
import { codings, type Coding } from '../../../cohort/covariate';
import { enumCode } from '../../../cohort/sql';
import type { Covariate, Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import { calendarOverlap } from '../../calendar';
import { cellsWhere } from '../../cellsWhere';
import type { Adjustment } from '../../completeCases';
import { cohortRows } from '../../rows/cohortRows';
import { crossTable } from '../../rows/crossTable';
import { widerCohort } from '../../widerCohort';

/** The cohort of the question, of which the patterns tell apart all that an alternative leaves out or adjusts for. */
export interface VariedCohort {
  readonly asked: AskedCohort;
  readonly adjustment: (covariate: Covariate) => Adjustment;
  /** Per pattern: 1 where it is so. */
  readonly flags: Readonly<Record<Flag, Int32Array>>;
  /** At most half of the procedures are of later years. */
  readonly medianYear: number;
}

export type Flag = 'metalBacked' | 'newAtHospital' | 'atLargestUser' | 'firstJoint' | 'majorRevision' | 'afterMedianYear';

/** One reduction of the cohort for nearly all alternatives; `covariates` are those of the alternatives. */
export async function variedCohort(asked: AskedCohort, question: Question, covariates: readonly Covariate[]): Promise<VariedCohort> {
  const medianYear = await medianYearOf(asked);
  const flags: Record<Flag, Pick<Coding, 'code' | 'column'>> = {
    metalBacked,
    newAtHospital: newAtHospital(question.cohort.role),
    atLargestUser: atHospitals(await largestUsers(asked)),
    firstJoint,
    majorRevision,
    afterMedianYear: afterYear(medianYear),
  };
  const names = Object.keys(flags) as readonly Flag[], others = [...new Set(covariates)].filter((covariate) => !question.adjust.includes(covariate));
  const wider = await widerCohort(asked, question, [...names.map((name) => flags[name]), ...others.map((covariate) => codings[covariate])]);
  const adjustments = [
    ...wider.asked.adjustments,
    ...others.map((covariate, c) => ({ covariate, coding: codings[covariate], codes: wider.codes[names.length + c]! })),
  ];
  return {
    asked: wider.asked,
    adjustment: (covariate) => adjustments.find((a) => a.covariate === covariate)!,
    flags: Object.fromEntries(names.map((name, f) => [name, wider.codes[f]!])) as Record<Flag, Int32Array>,
    medianYear,
  };
}

/** The cohort as asked, as far as hospital or surgeon is recorded, with a baseline hazard for each of them besides. */
export async function withinUnits(cohort: AskedCohort, question: Question, unit: 'hospital' | 'surgeon'): Promise<AskedCohort> {
  const { asked, codes } = await widerCohort(cohort, question, [{ code: enumCode(unit), column: unit }]);
  const strata = [...asked.strata, { label: unit === 'hospital' ? 'Hospital' : 'Surgeon', codes: codes[0]! }];
  return { ...asked, cohort: cellsWhere(asked.cohort, (pattern) => codes[0]![pattern]! >= 0), strata };
}

async function medianYearOf({ database, conditions, factor, groups }: AskedCohort): Promise<number> {
  const { years, counts } = await calendarOverlap(database, conditions, factor, groups);
  const procedures = years.map((_, i) => counts.reduce((sum, ofGroup) => sum + ofGroup[i]!, 0)), half = procedures.reduce((sum, n) => sum + n, 0) / 2;
  let upTo = 0;
  return years.find((_, i) => (upTo += procedures[i]!) >= half)!; // years ascend
}

/** The hospital with most procedures of each group, by its number in `enumCode`; of several the first. */
async function largestUsers({ database, conditions, factor, groups }: AskedCohort): Promise<readonly number[]> {
  const { values, count } = await crossTable(await cohortRows(database, conditions, factor), { sql: enumCode('hospital'), params: [], column: 'hospital' });
  const largest = groups.map(({ code }) => values.reduce((most, hospital, place) => {
    const procedures = Number.isNaN(hospital) ? 0 : count(code, place);
    return procedures > most.procedures ? { hospital, procedures } : most;
  }, { hospital: NaN, procedures: 0 }).hospital);
  return [...new Set(largest.filter((hospital) => !Number.isNaN(hospital)))];
}
