import { tables } from '../../contract/tables';
import { compress, passing, quoteName, sql, type LoadingDatabase } from '../database';
import { repeated } from './duplicates';
import { setAsideRecords, staging } from './loading';
import type { RegistryDates } from './recordChecks';
import { blocksOf } from './rowBlocks';

const firstRevision = passing('first_revision');
/** Procedures of patients who died, with the day of death. */
export const died = passing('died');

/**
 * Links the staged revisions to the staged procedures, finds the first revision of each (`first_revision`, by the procedure's record), and sets
 * aside procedures that were never at risk.
 *
 * On one day a major revision comes before a minor one, one of which the kind is not recorded after both, then the order of the file decides.
 */
export async function linkRevisions(database: LoadingDatabase, { closing }: RegistryDates): Promise<void> {
  await database.query(sql(`CREATE TABLE ${firstRevision} AS
    SELECT l.procedure_record, arg_min(r.record, (r.revision_date, r.kind, r.record)) AS record, min(r.revision_date) AS revision_date
    FROM ${staging('revisions')} r JOIN revision_link l USING (record)
    WHERE r.kind <> 'reoperation' GROUP BY l.procedure_record`));
  const exit = `least(r.revision_date, d.death_date, t.follow_up_end, DATE '${closing}')`;
  await setAsideRecords(database, {
    table: 'procedures', rule: 'no_time_at_risk', field: 'follow_up_start',
    find: `LEFT JOIN ${firstRevision} r ON r.procedure_record = t.record LEFT JOIN ${staging('deaths')} d ON d.patient_id = t.patient_id
      WHERE t.follow_up_start > t.procedure_date AND t.follow_up_start >= ${exit}`,
    value: `'at risk from ' || t.follow_up_start || ', follow-up ends ' || ${exit}`,
  });
  await database.query(sql('DELETE FROM reoperated WHERE record IN (SELECT record FROM gone_procedure)'));
}

/**
 * Turns the staged procedures into the table `procedures`, where they are: running numbers for procedure and patient, enums for the identifiers
 * of places. A procedure of which the patient is not known is numbered as one patient of its own.
 */
export async function acceptProcedures(database: LoadingDatabase, onBlock: (fraction: number) => void): Promise<void> {
  const source = staging('procedures'), number = passing('procedure_number');
  for (const [column, type] of [['hospital_id', 'hospital_id'], ['surgeon_id', 'surgeon_id'], ['region', 'region_id']] as const) {
    await createEnum(database, type, `SELECT DISTINCT ${column} FROM ${source} WHERE ${column} IS NOT NULL`);
    // The engine also turns what stands in records that were taken out, which need be of no value.
    await database.query(sql(`ALTER TABLE ${source} ALTER COLUMN ${column} TYPE ${type} USING try_cast(${column} AS ${type})`));
  }
  const records = await numberProcedures(database, number);
  for (const column of ['procedure', 'patient']) await database.query(sql(`ALTER TABLE ${source} ADD COLUMN ${column} INTEGER`));
  for (const { where, done } of blocksOf('record', records)) {
    await database.query(sql(`UPDATE ${source} s SET procedure = n.procedure, patient = n.patient FROM (FROM ${number} WHERE ${where}) n WHERE n.record = s.record`));
    await compress(database);
    onBlock(done);
  }
  await database.query(sql(`DROP TABLE ${number}`));
  await database.query(sql(`ALTER TABLE ${source} RENAME TO procedures`));
}

/** Numbers the staged procedures by their records, and patients by their first one, in the table `number` with a row per record. Returns what is above the last record. */
async function numberProcedures(database: LoadingDatabase, number: string): Promise<number> {
  const source = staging('procedures'), later = passing('later_procedure');
  await database.query(sql(`CREATE TABLE ${later} AS SELECT * FROM (SELECT record, min(record) OVER (PARTITION BY patient_id) AS first
    FROM ${source} WHERE ${repeated(source, ['patient_id'])}) WHERE record > first`));
  const staged = await database.query(sql(`SELECT coalesce(max(record) + 1, 0)::INTEGER AS records, (count(*) FILTER (before >= record))::INTEGER AS misplaced
    FROM (SELECT record, lag(record) OVER () AS before FROM ${source})`));
  const records = staged.numbers('records')[0] ?? 0;
  if (staged.numbers('misplaced')[0] !== 0) await sortByRecord(database, source, records);
  await database.query(sql(`CREATE TABLE ${number} AS SELECT record, procedure,
      (sum(CASE WHEN later THEN 0 ELSE 1 END) OVER (ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW) - 1)::INTEGER AS patient
    FROM (SELECT record, procedure, record IN (SELECT record FROM ${later}) AS later FROM (
      SELECT record, (row_number() OVER () - 1)::INTEGER AS procedure FROM ${source}))`));
  const counted = await database.query(sql(`SELECT (count(*) FILTER (before >= procedure))::INTEGER AS misplaced FROM (SELECT procedure, lag(procedure) OVER () AS before FROM ${number})`));
  if (counted.numbers('misplaced')[0] !== 0) throw new Error('patients were not numbered in the order of their records');
  await database.query(sql(`UPDATE ${number} n SET patient = f.patient FROM (
    SELECT l.record, f.patient FROM ${later} l JOIN ${number} f ON f.record = l.first) f WHERE f.record = n.record`));
  await database.query(sql(`DROP TABLE ${later}`));
  return records;
}

/** Records are staged in their order, unless a row of a file holds several of them. */
async function sortByRecord(database: LoadingDatabase, table: string, records: number): Promise<void> {
  const sorted = `${table}_sorted`;
  await database.query(sql(`CREATE TABLE ${sorted} AS FROM ${table} LIMIT 0`));
  for (const { where } of blocksOf('record', records)) {
    await database.query(sql(`INSERT INTO ${sorted} FROM ${table} WHERE ${where} ORDER BY record`));
    await compress(database);
  }
  await database.query(sql(`DROP TABLE ${table}`));
  await database.query(sql(`ALTER TABLE ${sorted} RENAME TO ${table.slice(table.lastIndexOf('.') + 1)}`));
}

/** The table `revisions`, by procedure number, and `died`. `counts_as` says which of them is the end point. */
export async function acceptRevisions(database: LoadingDatabase, { closing }: RegistryDates): Promise<void> {
  await database.query(sql(`CREATE TABLE revisions AS
    SELECT p.procedure, r.record, r.revision_id, r.procedure_id IS NOT NULL AS linked_by_id, r.revision_date, r.kind, r.reasons, r.components_removed,
      CASE WHEN r.kind = 'reoperation' THEN 'reoperation'
        WHEN r.record <> f.record THEN 're_revision'
        WHEN r.revision_date > least(d.death_date, p.follow_up_end, DATE '${closing}') THEN 'after_follow_up' ELSE 'first_revision' END AS counts_as
    FROM ${staging('revisions')} r JOIN revision_link l USING (record) JOIN procedures p ON p.record = l.procedure_record
    LEFT JOIN ${firstRevision} f ON f.procedure_record = p.record LEFT JOIN ${staging('deaths')} d ON d.patient_id = p.patient_id
    ORDER BY p.procedure, r.revision_date, r.kind, r.record`));
  await database.query(sql(`CREATE TABLE ${died} AS SELECT p.procedure, d.death_date FROM procedures p JOIN ${staging('deaths')} d USING (patient_id)`));
  await database.query(sql('DROP VIEW revision_link'));
  for (const table of [firstRevision, 'reoperated', staging('revisions')]) await database.query(sql(`DROP TABLE ${table}`));
}

/** The table `components` or `followups`: as staged, with the procedure's number instead of its key. Renamed, not copied: it can be large. */
export async function acceptBelonging(database: LoadingDatabase, table: 'components' | 'followups'): Promise<void> {
  for (const column of ['record', 'joint', 'gone']) await database.query(sql(`ALTER TABLE ${staging(table)} DROP COLUMN ${column}`));
  await database.query(sql(`ALTER TABLE ${staging(table)} RENAME TO ${table}`));
}

/** Tables that stay as they were staged. */
export async function acceptAsStaged(database: LoadingDatabase, table: 'models' | 'deaths' | 'registry'): Promise<void> {
  const columns = Object.keys(tables[table].schema.shape).map(quoteName).join(', ');
  await database.query(sql(`CREATE TABLE ${table} AS SELECT ${columns} FROM ${staging(table)} ORDER BY record`));
  await database.query(sql(`DROP TABLE ${staging(table)}`));
}

/** Lets go of what only the loading needed. */
export async function dropHelpers(database: LoadingDatabase): Promise<void> {
  for (const table of [died, 'gone_procedure', 'found', 'duplicate']) await database.query(sql(`DROP TABLE IF EXISTS ${table}`));
}

/** An enum of the identifiers that an extract has, sorted; of none, it holds one value that no row has. */
export async function createEnum(database: LoadingDatabase, name: string, values: string): Promise<void> {
  await database.query(sql(`CREATE TYPE ${name} AS ENUM (SELECT unnest(coalesce(list(v ORDER BY v), [''])) FROM (${values}) AS t(v))`));
}
