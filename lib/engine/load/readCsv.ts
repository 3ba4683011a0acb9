import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, quoteText, sql, type LoadingDatabase } from '../database';
import type { ExtractFile } from '../extractFile';
import { headerCells } from './csvHeader';
import { countOf, staging, type StagedTable } from './loading';
import { settleCells, stageTable } from './stageTable';

const longestHeader = 64 * 1024;

/** Reads a CSV file as text in DuckDB and stages its records. */
export async function readCsv(database: LoadingDatabase, table: TableName, file: ExtractFile): Promise<StagedTable> {
  const start = (await file.content.slice(0, longestHeader).text()).replace(/^\uFEFF/, '');
  const header = headerCells(/^[^\r\n]*/.exec(start)?.[0] ?? '') ?? [];
  const fields = fieldsOf(table).map(({ name }) => name);
  const present = new Set(fields.filter((name) => header.includes(name)));
  const path = await database.registerFile(file.name, file.content, file.path);
  const columns = header.map((name) => `${quoteText(name)}: 'VARCHAR'`).join(', ');
  const rows = `read_csv(${quoteText(path)}, auto_detect = false, header = true, delim = ',', quote = '"', escape = '"', comment = '', nullstr = '',
    columns = {${columns}}, store_rejects = true, rejects_table = ${quoteText(`rejected_${table}`)}, rejects_scan = ${quoteText(`scan_${table}`)})`;
  const wanted = [...present].map(quoteName).join(', ');
  await stageTable(database, table, `(SELECT (row_number() OVER () - 1)::INTEGER AS record, ${wanted} FROM ${rows})`, present);
  const accepted = await countOf(database, staging(table));
  await database.query(sql(`INSERT INTO finding SELECT ${quoteText(table)}, NULL, NULL, line, coalesce(column_name, ''),
    CASE WHEN error_type = 'UNQUOTED VALUE' THEN 'misplaced_quote' ELSE 'wrong_number_of_cells' END, NULL, 'record' FROM rejected_${table}`));
  const rejected = await countOf(database, `(SELECT DISTINCT line FROM rejected_${table})`);
  await database.query(sql(`DROP TABLE rejected_${table}`));
  await database.query(sql(`DROP TABLE scan_${table}`));
  await database.dropFile(path);
  await settleCells(database, table);
  return {
    table, file: file.name, countedIn: 'lines', read: accepted + rejected,
    ignoredColumns: header.filter((name) => !fields.includes(name)), missingColumns: fields.filter((name) => !present.has(name)),
  };
}
