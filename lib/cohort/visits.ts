import type { Measure } from '../contract/measures';
import type { VisitsQuestion } from '../contract/visitsQuestion';
import { zonalField, zonalSigns } from '../contract/zones';
import { quoteName, type Query } from '../engine/database';
import type { ComparisonFactor } from './comparison';
import type { Condition } from './conditions';
import type { Coding } from './covariate';
import { daysOfYears } from './days';
import { eventFragment } from './outcome';
import { allOf, enumCode, type Fragment } from './sql';

/** The last step of the way to those whose visits are looked at. */
export const hasVisits: Condition = { label: 'With a follow-up visit, planned or recorded', sql: 'procedure IN (SELECT procedure FROM followups)', params: [] };

/** Procedures by group. Columns: code, procedures. */
export function groupSizesQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const { sql, params } = allOf(conditions);
  return { sql: `SELECT ${factor.code} AS code, count(*)::INTEGER AS procedures FROM followup WHERE ${sql} AND ${factor.code} IS NOT NULL GROUP BY 1 ORDER BY 1`, params };
}

const clusterColumn = { none: '-1', patient: 'patient', hospital: enumCode('hospital'), surgeon: enumCode('surgeon') } as const;

/**
 * A row per procedure, in their order. Columns: procedure, code, patient, cluster (−1: each alone), entry_day (−1: from the start), exit_day (of the
 * implant, whatever the horizon), until (exit_day up to the horizon), outcome (`eventCode` at `until`), and a covariate_0 … for each coding, null: not recorded.
 */
export function visitProceduresQuery(conditions: readonly Fragment[], factor: ComparisonFactor, codings: readonly Pick<Coding, 'code'>[], { outcome, cohort, cluster, horizonYears }: VisitsQuestion): Query {
  const where = allOf(conditions), event = eventFragment(outcome, cohort.role), horizon = daysOfYears(horizonYears);
  return {
    sql: `SELECT procedure, ${factor.code} AS code, patient, ${clusterColumn[cluster]} AS cluster, coalesce(entry_day, -1) AS entry_day, exit_day,
least(exit_day, ?)::INTEGER AS until, (CASE WHEN exit_day > ? THEN 0 ELSE ${event.sql} END)::INTEGER AS outcome${codings.map((c, i) => `, (${c.code})::INTEGER AS covariate_${i}`).join('')}
FROM followup WHERE ${where.sql} ORDER BY procedure`,
    params: [horizon, horizon, ...event.params, ...where.params],
  };
}

/** SQL of a measure as a number: the position of its grade, the highest over its zones, or the amount; null: not assessed. */
function measureSql(measure: Measure): string {
  switch (measure.kind) {
    case 'grade': return enumCode(measure.field);
    case 'zones': return `greatest(${measure.fields.map(enumCode).join(', ')})`;
    case 'amount': return `${quoteName(measure.field)}::DOUBLE`;
  }
}

/** Rows of visits while the implant was in place, those missed without a day. */
const visitsOf = (where: Fragment, columns: string): string => `FROM followups v JOIN (SELECT procedure, procedure_day, exit_day${columns} FROM followup WHERE ${where.sql}) USING (procedure)`;
const dayOf = "(v.visit_date - DATE '1970-01-01')::INTEGER - procedure_day";

/**
 * A row per visit, by procedure and visit. Columns: procedure, visit (its position among the windows), day (since the procedure; null: missed), after (1: later than
 * the end of the implant's follow-up), a column for each measure by its name, and second_reading of the glenoid radiolucency.
 */
export function visitRowsQuery(conditions: readonly Fragment[], asked: readonly Measure[], instrument: string | null): Query {
  const where = allOf(conditions);
  const sqlOf = (m: Measure): string => (m.name === 'score_total' && instrument !== null ? `CASE WHEN score_instrument = ? THEN ${measureSql(m)} END` : measureSql(m));
  const params = asked.some((m) => m.name === 'score_total') && instrument !== null ? [instrument] : [];
  return {
    sql: `SELECT procedure, ${enumCode('visit')} AS visit, ${dayOf} AS day, (${dayOf} > exit_day)::INTEGER AS after${asked.map((m) => `, ${sqlOf(m)} AS ${quoteName(m.name)}`).join('')},
${enumCode('glenoid_radiolucency_second')} AS second_reading
${visitsOf(where, '')} ORDER BY procedure, visit`,
    params: [...params, ...where.params],
  };
}

/** How many zones of each group at each visit were read and have the sign. Columns: code, visit, and read_<field>, with_<field> for every zone. */
export function zonesQuery(conditions: readonly Fragment[], factor: ComparisonFactor): Query {
  const where = allOf(conditions);
  const counts = zonalSigns.flatMap(({ code, zones }) => zones.map((zone) => zonalField(code, zone.code)))
    .map((field) => `count(${field})::INTEGER AS read_${field}, (count(*) FILTER (WHERE ${enumCode(field)} > 0))::INTEGER AS with_${field}`);
  return {
    sql: `SELECT code, ${enumCode('visit')} AS visit, ${counts.join(', ')}
${visitsOf(where, `, ${factor.code} AS code`)} WHERE visit_date IS NOT NULL AND ${dayOf} <= exit_day GROUP BY code, visit ORDER BY code, visit`,
    params: where.params,
  };
}

/** Of which instruments the score totals are. Columns: instrument (null: not said), visits. */
export function instrumentsQuery(conditions: readonly Fragment[]): Query {
  const where = allOf(conditions);
  return {
    sql: `SELECT score_instrument AS instrument, count(*)::INTEGER AS visits ${visitsOf(where, '')} WHERE score_total IS NOT NULL GROUP BY 1 ORDER BY visits DESC, instrument`,
    params: where.params,
  };
}
