import { join } from 'node:path';
import type { SchemaElement } from 'hyparquet';
import { fileWriter, ParquetWriter } from 'hyparquet-writer';
import { z } from 'zod';
import { tables, type TableName } from '../lib/contract/tables';
import { dayOf } from './calendar';
import { columnsOf, tableNames } from './csvFiles';
import type { Row, Sink } from './sink';

type Kind = 'date' | 'integer' | 'number' | 'text';

/** The kind of every column, read from the contract. */
function kindsOf(table: TableName): readonly Kind[] {
  interface Property { type?: string; format?: string; anyOf?: Property[] }
  const { properties } = z.toJSONSchema(tables[table].schema) as { properties: Record<string, Property> };
  return columnsOf(table).map((column) => {
    const property = properties[column]!;
    const { type, format } = property.anyOf?.find((p) => p.type !== 'null') ?? property;
    if (format === 'date') return 'date';
    return type === 'integer' ? 'integer' : type === 'number' ? 'number' : 'text';
  });
}

const elements: Record<Kind, Omit<SchemaElement, 'name'>> = {
  date: { type: 'INT32', converted_type: 'DATE', repetition_type: 'OPTIONAL' },
  integer: { type: 'INT32', repetition_type: 'OPTIONAL' },
  number: { type: 'DOUBLE', repetition_type: 'OPTIONAL' },
  text: { type: 'BYTE_ARRAY', converted_type: 'UTF8', repetition_type: 'OPTIONAL' },
};

const milliseconds = 86_400_000;

class ParquetTable {
  private readonly columns: readonly string[];
  private readonly kinds: readonly Kind[];
  private readonly writer: ParquetWriter;
  private data: unknown[][];
  private rows = 0;

  constructor(table: TableName, filename: string, private readonly rowGroup: number) {
    this.columns = columnsOf(table);
    this.kinds = kindsOf(table);
    this.data = this.columns.map(() => []);
    this.writer = new ParquetWriter({
      writer: fileWriter(filename),
      schema: [{ name: 'root', num_children: this.columns.length }, ...this.columns.map((name, i) => ({ name, ...elements[this.kinds[i]!] }))],
    });
  }

  add(row: Row): void {
    this.columns.forEach((column, i) => {
      const value = row[column] ?? null;
      this.data[i]!.push(this.kinds[i] === 'date' && typeof value === 'string' ? new Date(dayOf(value) * milliseconds) : value);
    });
    if (++this.rows === this.rowGroup) this.flush();
  }

  private flush(): void {
    if (this.rows === 0) return;
    void this.writer.write({ columnData: this.columns.map((name, i) => ({ name, data: this.data[i]! })), rowGroupSize: this.rows });
    this.data = this.columns.map(() => []);
    this.rows = 0;
  }

  close(): void {
    this.flush();
    void this.writer.finish();
  }
}

/** Writes one Parquet file a table into a folder that exists, a row group at a time. */
export function parquetFiles(folder: string, rowGroup = 50_000): Sink & { close(): void } {
  const files = Object.fromEntries(tableNames.map((t) => [t, new ParquetTable(t, join(folder, `${t}.parquet`), rowGroup)])) as Record<TableName, ParquetTable>;
  return {
    write(table, row) { files[table].add(row); },
    close() { for (const table of tableNames) files[table].close(); },
  };
}
