import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, quoteText, sql, type LoadingDatabase, type ResultSet } from '../database';
import type { NewColumn } from '../newColumn';
import { codeType } from './codeTypes';
import { columnDefinitions } from './compression';
import { belongsToProcedure, rememberProcedures, staging, type StagedTable } from './loading';
import { typedColumns, type Present } from './typedColumns';

/**
 * Makes `staging(table)`, empty.
 * @param present the fields that some source has
 * @returns the columns that are stored, in their order
 */
export async function createStaging(database: LoadingDatabase, table: TableName, present: ReadonlySet<string>): Promise<readonly string[]> {
  const { definition } = typedColumns(table);
  const columns = belongsToProcedure(table)
    ? [...definition.filter(([name]) => name !== 'procedure_id'), ['procedure', 'INTEGER'], ['joint', codeType('joint')], ['gone', 'BOOLEAN']] as const : definition;
  if (table === 'procedures') {
    const isAbsent = absentOf(table, present);
    await database.query(sql(`CREATE TABLE ${staging(table)} (${columnDefinitions(definition, isAbsent)})`));
    return columns.map(([name]) => name).filter((name) => !isAbsent(name));
  }
  // AS, and not a definition: the type of models could not be exchanged any more once a table is defined by it.
  await database.query(sql(`CREATE TABLE ${staging(table)} AS SELECT ${columns.map(([name, type]) => `NULL::${type} AS ${quoteName(name)}`).join(', ')} WHERE false`));
  return columns.map(([name]) => name);
}

/** Whether a column is of a field that no source has. */
function absentOf(table: TableName, present: ReadonlySet<string>): (column: string) => boolean {
  const absent = new Set(fieldsOf(table).map(({ name }) => name).filter((name) => !present.has(name)));
  return (column) => absent.has(column);
}

/**
 * Types the records of `source` (SQL with the column `record` and those that are present), applies every check of a single cell and adds them to
 * `staging(table)`. Records that belong to a procedure get its number and joint instead of its key; `gone`: it was set aside.
 * Returns how many were added.
 * @param keys a table with their keys: most files follow the order of the procedures, so that only those from its least to its greatest are looked through
 */
export async function stageTable(database: LoadingDatabase, table: TableName, source: string, present: Present, keys?: string): Promise<number> {
  const { select, definition } = typedColumns(table, present), typed = select(source), into = `INSERT INTO ${staging(table)}`;
  if (!belongsToProcedure(table)) {
    const isAbsent = absentOf(table, present.fields), columns = definition.map(([name]) => name).filter((name) => !isAbsent(name)).map(quoteName).join(', ');
    return added(await database.query(sql(`${into} (${columns}) SELECT ${columns} FROM (${typed})`)));
  }
  const near = keys === undefined ? '' : `WHERE procedure_id >= (SELECT min(procedure_id) FROM ${keys}) AND procedure_id <= (SELECT max(procedure_id) FROM ${keys})`;
  return added(await database.query(sql(`${into}
    SELECT t.* EXCLUDE (procedure_id), p.procedure, p.joint, p.procedure IS NULL AND g.procedure_id IS NOT NULL AS gone
    FROM (${typed}) t LEFT JOIN (SELECT procedure_id, procedure, joint FROM procedures ${near}) p USING (procedure_id)
    LEFT JOIN (SELECT DISTINCT procedure_id FROM gone_procedure) g ON g.procedure_id = t.procedure_id`)));
}

/**
 * Adds records to `staging(table)` of which nothing is wrong with any field; those without a column are empty.
 * @param stored the columns of the table, as they were when it was made
 */
export async function stageColumns(database: LoadingDatabase, table: TableName, stored: readonly string[], columns: readonly NewColumn[]): Promise<void> {
  await database.append(staging(table), stored, columns);
}

/** What the engine says of an INSERT. */
const added = (result: ResultSet): number => Number(result.texts('Count')[0]);

/** Stands in for an optional table that the extract does not have. */
export async function stageNothing(database: LoadingDatabase, table: TableName): Promise<StagedTable> {
  await createStaging(database, table, new Set());
  await settleCells(database, table);
  return { table, fields: new Set(), file: null, countedIn: 'lines', read: 0, ignoredColumns: [], missingColumns: [] };
}

/** Moves what failed a check of a single cell from the staged table to the findings. */
export async function settleCells(database: LoadingDatabase, table: TableName): Promise<void> {
  const { checks } = typedColumns(table);
  const target = staging(table);
  const named = checks.map(({ field, rule }, index) => `(${index}, ${quoteText(field.name)}, ${quoteText(rule)})`).join(', ');
  const c = `(VALUES ${named}) AS c(id, field, rule)`;
  await database.query(sql(`INSERT INTO finding
    SELECT ${quoteText(table)}, record, NULL, NULL, field, rule, cell.value, CASE WHEN failed IS NULL THEN 'value' ELSE 'record' END, NULL, NULL
    FROM (SELECT record, failed, unnest(cells) AS cell FROM ${target} WHERE cells IS NOT NULL) JOIN ${c} ON c.id = cell.check ORDER BY record`));
  if (table === 'procedures') await rememberProcedures(database, 'failed IS NOT NULL');
  await database.query(sql(`DELETE FROM ${target} WHERE failed IS NOT NULL`));
  for (const column of ['failed', 'cells']) await database.query(sql(`ALTER TABLE ${target} DROP COLUMN ${column}`));
}
