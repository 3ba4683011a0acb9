import type { Problem } from '../../contract/loadReport';
import type { TableName } from '../../contract/tables';
import type { LoadingDatabase } from '../database';
import { readHeader } from './csvHeader';
import type { TableFile } from './findTables';
import type { Reading, StagedTable } from './loading';
import { readCsv } from './readCsv';
import { openParquet, readParquet, type ParquetTable } from './readParquet';
import { Refusal } from '../../intake/refusal';

/** Reads and stages a table whose columns are known to fit. */
export type OpenTable = (database: LoadingDatabase, reading: Reading) => Promise<StagedTable>;

/** Looks at the header or footer of every file, so that all that is wrong with them is said at once. */
export async function openTables(found: readonly TableFile[]): Promise<ReadonlyMap<TableName, OpenTable>> {
  const problems: Problem[] = [];
  const opened = new Map<TableName, OpenTable>(), parts = new Map<TableName, ParquetTable[]>();
  for (const { table, file, format, values } of found) {
    if (format === 'csv') {
      const header = await readHeader(table, file);
      problems.push(...header.problems);
      opened.set(table, (database, reading) => readCsv(database, table, file, header.cells, reading));
    } else {
      try {
        parts.set(table, [...(parts.get(table) ?? []), await openParquet(table, file, values)]);
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        problems.push(...error.problems);
      }
    }
  }
  for (const [table, own] of parts) opened.set(table, (database, reading) => readParquet(database, table, own, reading));
  if (problems.length > 0) throw new Refusal(problems);
  return opened;
}
