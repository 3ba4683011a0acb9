import type { Coding } from '../cohort/covariate';
import type { ComparedGroup, ComparisonFactor } from '../cohort/comparison';
import type { Condition } from '../cohort/conditions';
import { visitProceduresQuery, visitRowsQuery } from '../cohort/visits';
import type { Measure } from '../contract/measures';
import { visitWindows } from '../contract/visitWindows';
import type { VisitsQuestion } from '../contract/visitsQuestion';
import type { Database } from '../engine/database';

/** The procedures of the groups, in columns. Days since the procedure. */
export interface VisitedProcedures {
  readonly size: number;
  readonly group: Int32Array; // by position among the groups
  readonly patient: Int32Array;
  readonly several: Uint8Array; // 1: another procedure of the same patient is among them
  readonly cluster: Int32Array; // −1: each alone
  readonly entry: Float64Array; // −1: at risk from the start
  readonly exit: Float64Array; // of the implant's follow-up
  readonly until: Float64Array; // the same, up to the horizon
  readonly event: Float64Array; // `eventCode` at `until`
  readonly covariates: readonly Int32Array[]; // codes; −1: not recorded
}

/** Visits of the procedures, in columns, by procedure and window. */
export interface Visits {
  readonly size: number;
  readonly procedure: Int32Array; // by position among the procedures
  readonly window: Int32Array; // by position among `visitWindows`
  readonly day: Float64Array; // since the procedure; NaN: missed
  /** Per measure: position of the grade, highest grade over the zones, or amount; NaN: not assessed. */
  readonly values: ReadonlyMap<string, Float64Array>;
  readonly secondReading: Float64Array;
}

export interface VisitData {
  readonly procedures: VisitedProcedures;
  readonly visits: Visits;
  /** rowAt[window][procedure]: its visit; −1: none recorded. */
  readonly rowAt: readonly Int32Array[];
  readonly afterEnd: number; // visits later than the end of the implant's follow-up: not counted
}

export async function visitData(
  database: Database, conditions: readonly Condition[], factor: ComparisonFactor, groups: readonly ComparedGroup[], codings: readonly Coding[],
  asked: readonly Measure[], question: VisitsQuestion,
): Promise<VisitData> {
  const found = await database.query(visitProceduresQuery(conditions, factor, codings, question));
  const number = found.numbers('procedure'), size = number.length, places = new Map(groups.map((g, i) => [g.code, i]));
  const patient = Int32Array.from(found.numbers('patient')), perPatient = new Map<number, number>();
  for (const p of patient) perPatient.set(p, (perPatient.get(p) ?? 0) + 1);
  const procedures: VisitedProcedures = {
    size,
    group: Int32Array.from(found.numbers('code'), (code) => places.get(code) ?? -1),
    patient,
    several: Uint8Array.from(patient, (p) => Number(perPatient.get(p)! > 1)),
    cluster: Int32Array.from(found.numbers('cluster')),
    entry: found.numbers('entry_day'),
    exit: found.numbers('exit_day'),
    until: found.numbers('until'),
    event: found.numbers('outcome'),
    covariates: codings.map((_, i) => Int32Array.from(found.numbers(`covariate_${i}`), (code) => (Number.isNaN(code) ? -1 : code))),
  };
  const place = new Int32Array((number.at(-1) ?? -1) + 1).fill(-1);
  number.forEach((p, i) => { place[p] = i; });

  const rows = await database.query(visitRowsQuery(conditions, asked, question.instrument));
  const after = rows.numbers('after'), kept = Int32Array.from(after.keys()).filter((i) => after[i] !== 1);
  const column = (name: string): Float64Array => { const all = rows.numbers(name); return kept.length === all.length ? all : Float64Array.from(kept, (i) => all[i]!); };
  const visits: Visits = {
    size: kept.length,
    procedure: Int32Array.from(column('procedure'), (p) => place[p]!),
    window: Int32Array.from(column('visit')),
    day: column('day'),
    values: new Map(asked.map((m) => [m.name, column(m.name)])),
    secondReading: column('second_reading'),
  };
  const rowAt = visitWindows.map(() => new Int32Array(size).fill(-1));
  for (let i = 0; i < visits.size; ++i) rowAt[visits.window[i]!]![visits.procedure[i]!] = i;
  return { procedures, visits, rowAt, afterEnd: after.length - kept.length };
}
