import { closeSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { fieldsOf, tableNames } from '../lib/contract/fields';
import type { TableName } from '../lib/contract/tables';
import type { Row, Sink } from './sink';

/** The text of one table as UTF-8 CSV (RFC 4180), handed over in chunks. No value of the scenario needs quoting. */
class CsvTable {
  private readonly columns: readonly string[];
  private text: string;
  private rows = 0;

  constructor(table: TableName, private readonly chunkRows: number, private readonly take: (text: string) => void) {
    this.columns = fieldsOf(table).map((field) => field.name);
    this.text = `${this.columns.join(',')}\n`;
  }

  add(row: Row): void {
    let line = '';
    for (const column of this.columns) {
      const value = row[column];
      line += value === null || value === undefined ? ',' : `,${value}`;
    }
    this.text += `${line.slice(1)}\n`;
    if (++this.rows % this.chunkRows === 0) this.flush();
  }

  flush(): void {
    this.take(this.text);
    this.text = '';
  }
}

/** A sink that turns every table into CSV and hands each chunk to `take`. */
export function csvSink(take: (table: TableName, text: string) => void, chunkRows = 4096): Sink & { flush(): void } {
  const texts = Object.fromEntries(tableNames.map((t) => [t, new CsvTable(t, chunkRows, (text) => { take(t, text); })])) as Record<TableName, CsvTable>;
  return {
    write(table, row) { texts[table].add(row); },
    flush() { for (const table of tableNames) texts[table].flush(); },
  };
}

/** Writes one CSV file a table into a folder that exists. */
export function csvFiles(folder: string): Sink & { close(): void } {
  const handles = Object.fromEntries(tableNames.map((t) => [t, openSync(join(folder, `${t}.csv`), 'w')])) as Record<TableName, number>;
  const sink = csvSink((table, text) => { writeSync(handles[table], text); });
  return {
    write(table, row) { sink.write(table, row); },
    close() {
      sink.flush();
      for (const table of tableNames) closeSync(handles[table]);
    },
  };
}
