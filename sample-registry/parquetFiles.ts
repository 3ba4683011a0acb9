import { join } from 'node:path';
import type { SchemaElement } from 'hyparquet';
import { fileWriter, ParquetWriter } from 'hyparquet-writer';
import { dayOf, msPerDay } from '../lib/contract/calendarDay';
import { fieldsOf, tableNames, type Field, type FieldKind } from '../lib/contract/fields';
import type { TableName } from '../lib/contract/tables';
import type { Row, Sink } from './sink';

const text = { type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'OPTIONAL' } as const;
/** How Parquet holds a kind of field. */
export const parquetElements: Record<FieldKind, Omit<SchemaElement, 'name'>> = {
  date: { type: 'INT32', converted_type: 'DATE', repetition_type: 'OPTIONAL' },
  integer: { type: 'INT32', repetition_type: 'OPTIONAL' },
  number: { type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  text,
  code: text,
  codes: text,
};


/** Writes rows into a Parquet file, a group at a time. */
export class ParquetRows {
  private readonly writer: ParquetWriter;
  private data: unknown[][];
  private rows = 0;

  constructor(private readonly fields: readonly Field[], filename: string, private readonly rowGroup = 50_000) {
    this.data = this.fields.map(() => []);
    this.writer = new ParquetWriter({
      writer: fileWriter(filename),
      schema: [{ name: 'root', num_children: this.fields.length }, ...this.fields.map(({ name, kind }) => ({ name, ...parquetElements[kind] }))],
    });
  }

  add(row: Row): void {
    this.fields.forEach(({ name, kind }, i) => {
      const value = row[name] ?? null;
      this.data[i]!.push(kind === 'date' && typeof value === 'string' ? new Date(dayOf(value) * msPerDay) : value);
    });
    if (++this.rows === this.rowGroup) this.flush();
  }

  private flush(): void {
    if (this.rows === 0) return;
    void this.writer.write({ columnData: this.fields.map(({ name }, i) => ({ name, data: this.data[i]! })), rowGroupSize: this.rows });
    this.data = this.fields.map(() => []);
    this.rows = 0;
  }

  close(): void {
    this.flush();
    void this.writer.finish();
  }
}

/** Writes one Parquet file a table into a folder that exists, a row group at a time. */
export function parquetFiles(folder: string, rowGroup?: number): Sink & { close(): void } {
  const files = Object.fromEntries(tableNames.map((t) => [t, new ParquetRows(fieldsOf(t), join(folder, `${t}.parquet`), rowGroup)])) as Record<TableName, ParquetRows>;
  return {
    write(table, row) { files[table].add(row); },
    close() { for (const table of tableNames) files[table].close(); },
  };
}
