import type { TableName } from '../lib/contract/tables';

/** The cells of a row by column; null is an empty cell. */
export type Row = Readonly<Record<string, string | number | null>>;

/** Where rows go as they are made: a file, a hash, nowhere. */
export interface Sink {
  write(table: TableName, row: Row): void;
}
