import { afterYear, atHospitals, firstJoint, majorRevision, metalBacked, newAtHospital } from '../../../cohort/alternatives';
import { calendarQuery } from '../../../cohort/calendar';
import { codings, strataFactor, type Coding } from '../../../cohort/covariate';
import { hospitalUseQuery } from '../../../cohort/hospitalUse';
import { enumCode } from '../../../cohort/sql';
import type { Covariate, Question } from '../../../contract/question';
import type { AskedCohort } from '../../askedCohort';
import { cohortCells } from '../../cohortCells';
import type { Adjustment } from '../../completeCases';

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

/** One reduction of the cohort for nearly all alternatives. */
export async function variedCohort(asked: AskedCohort, question: Question, covariates: readonly Covariate[]): Promise<VariedCohort> {
  const { database, conditions, factor, groups } = asked;
  const medianYear = await medianYearOf(asked);
  const flags: Record<Flag, Pick<Coding, 'code'>> = {
    metalBacked,
    newAtHospital: newAtHospital(question.cohort.role),
    atLargestUser: atHospitals(await largestUsers(asked)),
    firstJoint,
    majorRevision,
    afterMedianYear: afterYear(medianYear),
  };
  const adjusting = [...new Set([...question.adjust, ...covariates])], names = Object.keys(flags) as readonly Flag[];
  const { cohort, codes } = await cohortCells(
    database, conditions, factor, groups,
    [...adjusting.map((covariate) => codings[covariate]), ...strataOf(question), ...names.map((name) => flags[name])], question,
  );
  const adjustment = (covariate: Covariate): Adjustment => ({ covariate, coding: codings[covariate], codes: codes[adjusting.indexOf(covariate)]! });
  const flagCodes = codes.slice(adjusting.length + asked.strata.length);
  return {
    asked: {
      ...asked,
      cohort,
      adjustments: asked.adjustments.map(({ covariate }) => adjustment(covariate)),
      strata: asked.strata.map(({ label }, s) => ({ label, codes: codes[adjusting.length + s]! })),
    },
    adjustment,
    flags: Object.fromEntries(names.map((name, f) => [name, flagCodes[f]!])) as Record<Flag, Int32Array>,
    medianYear,
  };
}

/** The cohort as asked with a baseline hazard for each hospital or surgeon besides. */
export async function withinUnits(asked: AskedCohort, question: Question, unit: 'hospital' | 'surgeon'): Promise<AskedCohort> {
  const { database, conditions, factor, groups, adjustments } = asked;
  const added = { label: unit === 'hospital' ? 'Hospital' : 'Surgeon', code: enumCode(unit) };
  const strata = [...strataOf(question), added];
  const { cohort, codes } = await cohortCells(database, conditions, factor, groups, [...adjustments.map((a) => a.coding), ...strata], question);
  return {
    ...asked,
    cohort,
    adjustments: adjustments.map((a, f) => ({ ...a, codes: codes[f]! })),
    strata: strata.map(({ label }, s) => ({ label, codes: codes[adjustments.length + s]! })),
  };
}

const strataOf = ({ strata }: Question) => [...new Set(strata)].map(strataFactor);

async function medianYearOf({ database, conditions, factor }: AskedCohort): Promise<number> {
  const result = await database.query(calendarQuery(conditions, factor));
  const years = result.numbers('year'), procedures = result.numbers('procedures'), half = procedures.reduce((sum, n) => sum + n, 0) / 2;
  let upTo = 0;
  return years.find((_, i) => (upTo += procedures[i]!) >= half)!; // years ascend
}

/** The hospital with most procedures of each group; of several the first. */
async function largestUsers({ database, conditions, factor }: AskedCohort): Promise<readonly number[]> {
  const result = await database.query(hospitalUseQuery(conditions, factor));
  const code = result.numbers('code');
  return [...new Set(result.numbers('hospital').filter((_, i) => code[i] !== code[i - 1]))];
}
