import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { QueryError, quoteName, quoteText, sql, type LoadingDatabase } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { countOf, staging, type StagedTable } from './loading';
import { refuse } from '../../intake/refusal';
import { settleCells, stageTable } from './stageTable';
import type { TextScan } from './textScan';

/**
 * Reads a CSV file as text in DuckDB and stages its records. The records are counted twice, by the engine and by `scan`; where the two
 * disagree the file is refused.
 */
export async function readCsv(
  database: LoadingDatabase, table: TableName, file: ExtractFile, header: readonly string[], scan: Promise<TextScan>,
): Promise<StagedTable> {
  scan.catch(() => undefined); // awaited below, together with the engine's reading
  const fields = fieldsOf(table).map(({ name }) => name);
  const present = new Set(fields.filter((name) => header.includes(name)));
  const path = await database.registerFile(`${table}.csv`, file.content, file.path);
  const staged = stageTable(database, table, recordsOf(path, table, header, present), present);
  const { records, malformed, skipped } = await bothReadings(file.name, staged, scan);
  await database.dropFile(path);
  const read = await countOf(database, staging(table));
  if (read + malformed.length !== records) {
    refuse('records_disagree', `two readings of the file disagree: ${records} records, ${malformed.length} of them malformed, against ${read} taken in`, { file: file.name });
  }
  await rememberLines(database, table, malformed, skipped);
  await settleCells(database, table);
  return {
    table, file: file.name, countedIn: 'lines', read: records,
    ignoredColumns: header.filter((name) => !fields.includes(name)), missingColumns: fields.filter((name) => !present.has(name)),
  };
}

/** Waits for both readings. Where the text is at fault, its own reading says so in better words than the engine's. */
async function bothReadings(file: string, staged: Promise<void>, scan: Promise<TextScan>): Promise<TextScan> {
  try {
    return (await Promise.all([scan, staged]))[0];
  } catch (error) {
    await scan;
    if (!(error instanceof QueryError) || /out of memory/i.test(error.message)) throw error;
    return refuse('unreadable', `the engine can't read the file (${error.message.split('\n')[0] ?? ''})`, { file });
  }
}

/** The well-formed records as text. Columns go by their place: what the file calls those that are not wanted does not matter. */
function recordsOf(path: string, table: TableName, header: readonly string[], present: ReadonlySet<string>): string {
  const columns = header.map((_, i) => `'c${i}': 'VARCHAR'`).join(', ');
  const wanted = [...present].map((name) => `c${header.indexOf(name)} AS ${quoteName(name)}`).join(', ');
  return `(SELECT (row_number() OVER () - 1)::INTEGER AS record, ${wanted}
    FROM read_csv(${quoteText(path)}, auto_detect = false, header = true, delim = ',', quote = '"', escape = '"', comment = '', nullstr = '',
      columns = {${columns}}, store_rejects = true, rejects_table = ${quoteText(`rejected_${table}`)}, rejects_scan = ${quoteText(`scan_${table}`)}))`;
}

/** Keeps the lines that start no accepted record, for the line numbers of those that follow. */
async function rememberLines(database: LoadingDatabase, table: TableName, malformed: Int32Array, skipped: Int32Array): Promise<void> {
  for (const name of [`rejected_${table}`, `scan_${table}`]) await database.query(sql(`DROP TABLE ${name}`));
  if (skipped.length > 0) {
    await database.createFrom('lines_in', [{ name: 'line', type: 'INTEGER', values: Array.from(skipped) }]);
    await database.query(sql(`INSERT INTO skipped_line SELECT ${quoteText(table)}, line FROM lines_in`));
    await database.query(sql('DROP TABLE lines_in'));
  }
  if (malformed.length > 0) {
    await database.createFrom('lines_in', [{ name: 'line', type: 'INTEGER', values: Array.from(malformed) }]);
    await database.query(sql(`INSERT INTO finding SELECT ${quoteText(table)}, NULL, NULL, line, '', 'wrong_number_of_cells', NULL, 'record', NULL FROM lines_in`));
    await database.query(sql('DROP TABLE lines_in'));
  }
}
