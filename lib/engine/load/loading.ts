import type { TableReport } from '../../contract/loadReport';
import type { RuleId } from '../../contract/rules';
import type { TableName } from '../../contract/tables';
import type { LoadProgress } from '../loadProgress';
import { quoteText, sql, type LoadingDatabase } from '../database';

/** What is known of a table while an extract is loaded. Its rows wait in `staging(table)`, each with its number in the file, from 0. */
export interface StagedTable {
  readonly table: TableName;
  readonly file: string | null;
  readonly countedIn: 'lines' | 'rows';
  readonly fields: ReadonlySet<string>; // that some source has
  readonly read: number; // every record of the file, well formed or not
  readonly withoutRecord?: TableReport['withoutRecord'];
  readonly ignoredColumns: readonly string[];
  readonly missingColumns: readonly string[];
}

/** How a file is read: `onRead` hears the fraction that has been read, and how many records that were. */
export interface Reading {
  readonly signal: AbortSignal;
  readonly onRead: (fraction: number, rows: NonNullable<LoadProgress['rows']>) => Promise<void>;
}

/** Tables whose records belong to a procedure by its key. They are staged once the kept procedures are final, where they will stay. */
export const belongsToProcedure = (table: TableName): table is 'components' | 'followups' => table === 'components' || table === 'followups';

/** Tables with so many rows that they are compressed while they are read. */
export const isLarge = (table: TableName): boolean => table === 'procedures' || belongsToProcedure(table);

export const staging = (table: TableName): string => `${isLarge(table) ? 'extract' : 'memory'}.main.staging_${table}`;

/**
 * `finding`: one row per record or value set aside; `record` is null where the line could not be taken apart, `other` is the record
 * in the same table that it collides with; `file` is there where `record` is not. `skipped_line`: lines that start no accepted record.
 * `file_part`: which records of a table come from which file, see FilePart.
 * `gone_procedure`: procedures that were set aside. `primary_record` of a re-operation is the record of the procedure that it was held against.
 */
export async function createFindings(database: LoadingDatabase): Promise<void> {
  await database.query(sql(`CREATE TABLE finding ("table" VARCHAR, record INTEGER, other INTEGER, line INTEGER, field VARCHAR, rule VARCHAR,
    value VARCHAR, scope VARCHAR, primary_record INTEGER, file VARCHAR)`));
  await database.query(sql('CREATE TABLE skipped_line (source VARCHAR, line INTEGER)'));
  await database.query(sql(`CREATE TABLE file_part ("table" VARCHAR, from_record INTEGER, rows INTEGER, every INTEGER, file VARCHAR, line INTEGER, source VARCHAR)`));
  await database.query(sql('CREATE TABLE gone_procedure (procedure_id VARCHAR, patient_id VARCHAR, joint joint_code, side side_code, procedure_date DATE, record INTEGER)'));
}

/** A rule that looks beyond the single cell. */
export interface Check {
  readonly table: TableName;
  readonly rule: RuleId;
  readonly field: string;
  /** What follows `FROM staging t`. A record found twice counts once. */
  readonly join?: string;
  /** SQL: a record fails or, where there is `also`, may fail. */
  readonly where: string;
  /** SQL: what is asked further of a record that may fail, of which there are few. */
  readonly also?: string;
  /** The only columns that `where` looks at, where few combinations of their values occur. */
  readonly over?: string;
  /** SQL for the value to show; NULL where it would identify someone. */
  readonly value?: string;
  /** SQL for the record it collides with. */
  readonly other?: string;
  /** SQL for the record of the procedure that a re-operation was held against. */
  readonly primary?: string;
}

/**
 * The checks that some record fails, or may fail. What no record fails now, none will fail once others are set aside: those that look at the same
 * columns of few values, or at the same rows, are held against all of them in one pass. A check that alone looks at what it joins is as soon made.
 */
export async function failing(database: LoadingDatabase, table: TableName, checks: readonly Check[]): Promise<readonly Check[]> {
  const passed = new Set<Check>();
  const rowsOf = ({ join = '', over }: Check): string => (over === undefined ? `${staging(table)} t ${join}` : `(SELECT ${over} FROM ${staging(table)} t ${join} GROUP BY ALL) t`);
  for (const rows of new Set(checks.map(rowsOf))) {
    const together = checks.filter((check) => rowsOf(check) === rows);
    if (together.length === 1 && together[0]?.join !== undefined && together[0].over === undefined) continue;
    const found = await database.query(sql(`SELECT ${together.map(({ where }, i) => `(count(*) FILTER (WHERE ${where}))::INTEGER AS n${i}`).join(', ')} FROM ${rows}`));
    together.forEach((check, i) => { if (found.numbers(`n${i}`)[0] === 0) passed.add(check); });
  }
  return checks.filter((check) => !passed.has(check));
}

const findingOf = ({ join = '', where, also = 'true' }: Check): string => `${join} WHERE (${where}) AND ${also}`;

/** Sets aside the records that a check finds and takes them out of the staged table, so that later checks never see them. */
export async function setAsideRecords(database: LoadingDatabase, check: Check): Promise<number> {
  const { table, rule, field, value = 'NULL', other = 'NULL', primary = 'NULL' } = check;
  await database.query(sql(`CREATE OR REPLACE TEMP TABLE found AS
    SELECT DISTINCT ON (t.record) t.record AS record, (${other})::INTEGER AS other, (${primary})::INTEGER AS primary_record, left((${value})::VARCHAR, 200) AS value
    FROM ${staging(table)} t ${findingOf(check)}`));
  const count = await countOf(database, 'found');
  if (count === 0) return 0;
  await database.query(sql(`INSERT INTO finding SELECT ${quoteText(table)}, record, other, NULL, ${quoteText(field)}, ${quoteText(rule)},
    value, 'record', primary_record, NULL FROM found ORDER BY record`));
  if (table === 'procedures') await rememberProcedures(database, 'record IN (SELECT record FROM found)');
  await database.query(sql(`DELETE FROM ${staging(table)} WHERE record IN (SELECT record FROM found)`));
  return count;
}

/** Procedures set aside stay known by key and by patient, joint and side, so that what belongs to them can be told from what has no primary. */
export async function rememberProcedures(database: LoadingDatabase, where: string): Promise<void> {
  await database.query(sql(`INSERT INTO gone_procedure SELECT procedure_id, patient_id, joint, side, procedure_date, record
    FROM ${staging('procedures')} WHERE ${where}`));
}

/** Sets aside single values: the field becomes null in records that stay. */
export async function setAsideValues(database: LoadingDatabase, check: Check): Promise<number> {
  const { table, rule, field, value = 'NULL' } = check;
  await database.query(sql(`CREATE OR REPLACE TEMP TABLE found AS
    SELECT t.record AS record, left((${value})::VARCHAR, 200) AS value FROM ${staging(table)} t ${findingOf(check)}`));
  const count = await countOf(database, 'found');
  if (count === 0) return 0;
  await database.query(sql(`INSERT INTO finding SELECT ${quoteText(table)}, record, NULL, NULL, ${quoteText(field)}, ${quoteText(rule)},
    value, 'value', NULL, NULL FROM found ORDER BY record`));
  await database.query(sql(`UPDATE ${staging(table)} SET "${field}" = NULL WHERE record IN (SELECT record FROM found)`));
  return count;
}

export async function countOf(database: LoadingDatabase, from: string): Promise<number> {
  const result = await database.query(sql(`SELECT count(*)::INTEGER AS n FROM ${from}`));
  return result.numbers('n')[0] ?? 0;
}
