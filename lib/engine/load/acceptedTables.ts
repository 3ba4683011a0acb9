import { fieldsOf } from '../../contract/fields';
import { tables } from '../../contract/tables';
import { compress, passing, quoteName, sql, type LoadingDatabase } from '../database';
import { setAsideRecords, staging } from './loading';
import type { RegistryDates } from './recordChecks';
import { blocksOf } from './rowBlocks';

const firstRevision = passing('first_revision');
export const endOfFollowUp = passing('end_of_follow_up');

/**
 * Links the staged revisions to the staged procedures, finds the first revision of each and how follow-up ends, and sets aside
 * procedures that were never at risk. Leaves `first_revision` and `end_of_follow_up`, both by the procedure's record.
 *
 * On one day a major revision comes before a minor one, one of which the kind is not recorded after both, then the order of the file decides.
 */
export async function linkRevisions(database: LoadingDatabase, { closing }: RegistryDates): Promise<void> {
  await database.query(sql(`CREATE TABLE ${firstRevision} AS
    SELECT l.procedure_record, arg_min(r.record, (r.revision_date, r.kind, r.record)) AS record, min(r.revision_date) AS revision_date
    FROM ${staging('revisions')} r JOIN revision_link l USING (record)
    WHERE r.kind <> 'reoperation' GROUP BY l.procedure_record`));
  await database.query(sql(`CREATE TABLE ${endOfFollowUp} AS
    SELECT record, exit_date, CASE
        WHEN revision_date = exit_date THEN 'revision' WHEN death_date = exit_date THEN 'death' ELSE 'censored' END::ENUM('censored', 'revision', 'death') AS ending,
      CASE WHEN follow_up_start > procedure_date THEN follow_up_start END AS entry_date
    FROM (SELECT p.record, p.procedure_date, p.follow_up_start, r.revision_date, d.death_date,
        least(r.revision_date, d.death_date, p.follow_up_end, DATE '${closing}') AS exit_date
      FROM ${staging('procedures')} p LEFT JOIN ${firstRevision} r ON r.procedure_record = p.record
      LEFT JOIN ${staging('deaths')} d USING (patient_id))`));
  await setAsideRecords(database, {
    table: 'procedures', rule: 'no_time_at_risk', field: 'follow_up_start',
    find: `JOIN ${endOfFollowUp} e USING (record) WHERE e.entry_date >= e.exit_date`,
    value: "'at risk from ' || e.entry_date || ', follow-up ends ' || e.exit_date",
  });
  await database.query(sql('DELETE FROM reoperated WHERE record IN (SELECT record FROM gone_procedure)'));
}

/**
 * Turns the staged procedures into the table `procedures`: running numbers for procedure and patient, enums for the identifiers of places.
 * A procedure of which the patient is not known is numbered as one patient of its own.
 */
export async function acceptProcedures(database: LoadingDatabase, onBlock: (fraction: number) => void): Promise<void> {
  const source = staging('procedures');
  await createEnum(database, 'hospital_id', `SELECT DISTINCT hospital_id FROM ${source} WHERE hospital_id IS NOT NULL`);
  await createEnum(database, 'surgeon_id', `SELECT DISTINCT surgeon_id FROM ${source} WHERE surgeon_id IS NOT NULL`);
  await createEnum(database, 'region_id', `SELECT DISTINCT region FROM ${source} WHERE region IS NOT NULL`);
  const enums: Record<string, string> = { hospital_id: 'hospital_id', surgeon_id: 'surgeon_id', region: 'region_id' };
  const columns = fieldsOf('procedures').map(({ name }) => (enums[name] === undefined ? `s.${quoteName(name)}` : `s.${name}::${enums[name]} AS ${name}`));
  const patient = passing('patient_number'), number = passing('procedure_number');
  // Staged records are in their order, so that counting them needs no sorting.
  const numbered = `(SELECT record, patient_id, (row_number() OVER () - 1)::INTEGER AS procedure FROM ${source})`;
  await database.query(sql(`CREATE TABLE ${patient} AS SELECT *, (row_number() OVER (ORDER BY first) - 1)::INTEGER AS patient FROM (
    SELECT patient_id, min(record) AS first, NULL::INTEGER AS procedure FROM ${source} WHERE patient_id IS NOT NULL GROUP BY patient_id
    UNION ALL SELECT NULL, record, procedure FROM ${numbered} WHERE patient_id IS NULL)`));
  await database.query(sql(`CREATE TABLE ${number} AS SELECT s.record, s.procedure, n.patient FROM ${numbered} s JOIN ${patient} n USING (patient_id)
    UNION ALL SELECT first, procedure, patient FROM ${patient} WHERE patient_id IS NULL`));
  await database.query(sql(`DROP TABLE ${patient}`));
  const [records = 0] = (await database.query(sql(`SELECT coalesce(max(record) + 1, 0)::INTEGER AS records FROM ${source}`))).numbers('records');
  // Keys that are all different gain little by it and would take most of the time.
  await database.query(sql("SET disabled_compression_methods = 'dict_fsst'"));
  for (const [i, { where, done }] of blocksOf('record', records).entries()) {
    await database.query(sql(`${i === 0 ? 'CREATE TABLE procedures AS' : 'INSERT INTO procedures'} SELECT procedure, patient, s.record, ${columns.join(', ')}
      FROM (FROM ${source} WHERE ${where}) s JOIN (FROM ${number} WHERE ${where}) USING (record)`));
    await compress(database);
    onBlock(done);
  }
  await database.query(sql('RESET disabled_compression_methods'));
  await database.query(sql(`DROP TABLE ${number}`));
}

/** The table `revisions`, by procedure number. `counts_as` says which of them is the end point. */
export async function acceptRevisions(database: LoadingDatabase): Promise<void> {
  await database.query(sql(`CREATE TABLE revisions AS
    SELECT p.procedure, r.record, r.revision_id, r.procedure_id IS NOT NULL AS linked_by_id, r.revision_date, r.kind, r.reasons, r.components_removed,
      CASE WHEN r.kind = 'reoperation' THEN 'reoperation'
        WHEN r.record <> f.record THEN 're_revision'
        WHEN r.revision_date > e.exit_date THEN 'after_follow_up' ELSE 'first_revision' END AS counts_as
    FROM ${staging('revisions')} r JOIN revision_link l USING (record) JOIN procedures p ON p.record = l.procedure_record
    LEFT JOIN ${firstRevision} f ON f.procedure_record = p.record JOIN ${endOfFollowUp} e ON e.record = p.record
    ORDER BY p.procedure, r.revision_date, r.kind, r.record`));
  await database.query(sql('DROP VIEW revision_link'));
  for (const table of [firstRevision, 'reoperated', staging('revisions'), staging('procedures')]) await database.query(sql(`DROP TABLE ${table}`));
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
  for (const table of [endOfFollowUp, 'gone_procedure', 'found', 'duplicate']) await database.query(sql(`DROP TABLE IF EXISTS ${table}`));
}

/** An enum of the identifiers that an extract has, sorted; of none, it holds one value that no row has. */
export async function createEnum(database: LoadingDatabase, name: string, values: string): Promise<void> {
  await database.query(sql(`CREATE TYPE ${name} AS ENUM (SELECT unnest(coalesce(list(v ORDER BY v), [''])) FROM (${values}) AS t(v))`));
}
