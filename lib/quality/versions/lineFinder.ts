import type { TableName } from '../../contract/tables';
import { quoteText, sql, type Database } from '../../engine/database';

export interface Place { readonly file: string; readonly line: number }

/** Where records of a table stand, once `line_start` (see lib/engine/lines.ts) is read. */
export async function lineFinder(database: Database, table: TableName): Promise<(record: number) => Place> {
  const rows = await database.query(sql(`SELECT from_record, file, line FROM line_start WHERE "table" = ${quoteText(table)} ORDER BY from_record`));
  const from = rows.numbers('from_record'), line = rows.numbers('line'), file = rows.texts('file');
  return (record) => {
    let low = 0, high = from.length; // the last start at or before the record
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (from[middle]! <= record) low = middle;
      else high = middle;
    }
    return { file: file[low] ?? '', line: (line[low] ?? 0) + record - (from[low] ?? 0) };
  };
}
