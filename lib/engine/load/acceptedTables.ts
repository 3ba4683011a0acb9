import { fieldsOf } from '../../contract/fields';
import { tables } from '../../contract/tables';
import { compress, passing, quoteName, sql, type LoadingDatabase } from '../database';
import { asBits } from './compression';
import { countOf, setAsideRecords, staging } from './loading';
import { lostPrimaryCheck, type RegistryDates } from './recordChecks';
import { blocksOf } from './rowBlocks';
import { keptOfSeveral, several } from './severalProcedures';
import { firstDay } from './typedColumns';

const firstRevision = passing('first_revision');
/** The accepted procedures and, once it is worked out, beside each what became of it. */
export const followed = 'followed';
/** Procedures of patients who died, with the day of death. */
export const died = passing('died');

/**
 * Links the staged revisions to the staged procedures, finds the first revision of each (`first_revision`, by the procedure's record), and sets
 * aside procedures that were never at risk. Tells whether any other comes under observation after its procedure.
 *
 * On one day a major revision comes before a minor one, one of which the kind is not recorded after both, then the order of the file decides.
 */
export async function linkRevisions(database: LoadingDatabase, { closing }: RegistryDates): Promise<boolean> {
  const order = `((r.revision_date - DATE '${firstDay}')::BIGINT * 8 + enum_code(r.kind)) * ${2 ** 32} + r.record`; // a number is compared sooner than three columns
  await database.query(sql(`CREATE TABLE ${firstRevision} AS
    SELECT l.primary_record, (min(${order}) & ${2 ** 32 - 1})::INTEGER AS record, min(r.revision_date) AS revision_date
    FROM ${staging('revisions')} r JOIN revision_link l USING (record)
    WHERE r.kind <> 'reoperation' GROUP BY l.primary_record`));
  const late = 't.follow_up_start > t.procedure_date';
  if (await countOf(database, `${staging('procedures')} t WHERE ${late}`) === 0) return false;
  const exit = `least(r.revision_date, d.death_date, t.follow_up_end, DATE '${closing}')`;
  const gone = await setAsideRecords(database, {
    table: 'procedures', rule: 'no_time_at_risk', field: 'follow_up_start',
    join: `LEFT JOIN ${firstRevision} r ON r.primary_record = t.record LEFT JOIN ${staging('deaths')} d ON d.patient_id = t.patient_id`,
    where: `${late} AND t.follow_up_start >= ${exit}`,
    value: `'at risk from ' || t.follow_up_start || ', follow-up ends ' || ${exit}`,
  });
  if (gone === 0) return true;
  await database.query(sql('DELETE FROM revision_link WHERE primary_record IN (SELECT record FROM gone_procedure)'));
  await setAsideRecords(database, lostPrimaryCheck());
  return true;
}

/** The enums that identifiers of places become, by their columns. */
const placeTypes: ReadonlyMap<string, string> = new Map([['hospital_id', 'hospital_id'], ['surgeon_id', 'surgeon_id'], ['region', 'region_id']]);

export interface AcceptedProcedures {
  readonly numbers: number; // what is above the last one of a procedure
  readonly patient: string; // SQL: the number of the patient
  readonly fields: ReadonlySet<string>; // that some source has
}

/**
 * Turns the staged procedures, where they are, into the table `followed`, of which `procedures` is a view, with enums for the identifiers of places
 * and numbers for procedure and patient: a procedure has the number of its record, a patient that of the first procedure. One of which the
 * patient is not known is a patient of its own.
 */
export async function acceptProcedures(database: LoadingDatabase, fields: ReadonlySet<string>, onBlock: (fraction: number) => void): Promise<AcceptedProcedures> {
  const source = staging('procedures');
  for (const [column, type] of placeTypes) {
    await createEnum(database, type, `SELECT DISTINCT ${column} FROM ${source} WHERE ${column} IS NOT NULL`);
    if (!fields.has(column)) continue;
    // The engine also turns what stands in records that were taken out, which need be of no value.
    await database.query(sql(`ALTER TABLE ${source} ALTER COLUMN ${column} TYPE ${type} USING try_cast(${column} AS ${type})`));
  }
  const numbers = await sortByRecord(database, source);
  const patient = await numberPatients(database, source, numbers, onBlock);
  await database.query(sql(`ALTER TABLE ${source} RENAME TO ${followed}`));
  const columns = fieldsOf('procedures').map(({ name }) => (placeTypes.has(name) ? `${name}::${placeTypes.get(name)!} AS ${name}` : quoteName(name)));
  await database.query(sql(`CREATE VIEW procedures AS SELECT record, ${columns.join(', ')}, record AS procedure, ${patient} AS patient FROM ${followed}`));
  return { numbers, patient, fields };
}

/** Where patients have several procedures, their number stands in a column of its own. Returns the SQL for it. */
async function numberPatients(database: LoadingDatabase, source: string, numbers: number, onBlock: (fraction: number) => void): Promise<string> {
  const later = passing('later_procedure');
  await database.query(sql(`CREATE TABLE ${later} AS SELECT record, first
    FROM ${keptOfSeveral} JOIN (SELECT patient_id, min(record) AS first FROM ${keptOfSeveral} GROUP BY patient_id) USING (patient_id) WHERE record > first`));
  await database.query(sql(`DROP TABLE ${several}`));
  const some = await countOf(database, later) > 0;
  if (some) {
    await database.query(sql(`ALTER TABLE ${source} ADD COLUMN patient INTEGER ${asBits}`));
    await database.query(sql(`ALTER TABLE ${source} ALTER COLUMN patient TYPE INTEGER USING (record)`)); // far quicker than an UPDATE
    for (const { where, done } of blocksOf('record', numbers)) {
      await database.query(sql(`UPDATE ${source} s SET patient = l.first FROM (FROM ${later} WHERE ${where}) l WHERE l.record = s.record`));
      onBlock(done);
    }
  }
  await database.query(sql(`DROP TABLE ${later}`));
  return some ? 'patient' : 'record';
}

/** Records are staged in their order, unless a row of a file holds several of them. Returns what is above the last record. */
async function sortByRecord(database: LoadingDatabase, table: string): Promise<number> {
  const look = async (): Promise<{ records: number; misplaced: number }> => {
    const found = await database.query(sql(`SELECT coalesce(max(record) + 1, 0)::INTEGER AS records, (count(*) FILTER (before >= record))::INTEGER AS misplaced
      FROM (SELECT record, lag(record) OVER () AS before FROM ${table})`));
    return { records: found.numbers('records')[0]!, misplaced: found.numbers('misplaced')[0]! };
  };
  const { records, misplaced } = await look();
  if (misplaced === 0) return records;
  const sorted = `${table}_sorted`;
  await database.query(sql(`CREATE TABLE ${sorted} AS FROM ${table} LIMIT 0`));
  for (const { where } of blocksOf('record', records)) {
    await database.query(sql(`INSERT INTO ${sorted} FROM ${table} WHERE ${where} ORDER BY record`));
    await compress(database);
  }
  await database.query(sql(`DROP TABLE ${table}`));
  await database.query(sql(`ALTER TABLE ${sorted} RENAME TO ${table.slice(table.lastIndexOf('.') + 1)}`));
  if ((await look()).misplaced !== 0) throw new Error('procedures do not stand in the order of their records');
  return records;
}

/** The table `revisions`, by procedure number, and `died`. `counts_as` says which of them is the end point. */
export async function acceptRevisions(database: LoadingDatabase, { closing }: RegistryDates): Promise<void> {
  await database.query(sql(`CREATE TABLE revisions AS
    SELECT l.primary_record AS procedure, r.record, r.revision_id, r.procedure_id IS NOT NULL AS linked_by_id, r.revision_date, r.kind, r.reasons, r.components_removed,
      CASE WHEN r.kind = 'reoperation' THEN 'reoperation'
        WHEN r.record <> f.record THEN 're_revision'
        WHEN r.revision_date > least(d.death_date, l.primary_end, DATE '${closing}') THEN 'after_follow_up' ELSE 'first_revision' END AS counts_as
    FROM ${staging('revisions')} r JOIN revision_link l USING (record)
    LEFT JOIN ${firstRevision} f USING (primary_record) LEFT JOIN ${staging('deaths')} d ON d.patient_id = l.primary_patient
    ORDER BY l.primary_record, r.revision_date, r.kind, r.record`));
  await database.query(sql(`CREATE TABLE ${died} AS SELECT p.procedure, d.death_date FROM procedures p JOIN ${staging('deaths')} d USING (patient_id)`));
  for (const table of [firstRevision, 'revision_link', staging('revisions')]) await database.query(sql(`DROP TABLE ${table}`));
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
