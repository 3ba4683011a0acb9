import type { UnpackedFile } from '../unpack';
import type { Words } from './words';

/** A table of a file that keeps rows of its own: Parquet, Arrow, or a sheet of a workbook. Cells come out as the text that a CSV file would hold. */
export interface RowTable {
  readonly sheet: string | null;
  readonly names: readonly string[]; // of the columns, unique
  readonly rows: number;
  readonly firstRow: number; // what the person's program calls the first of them
  readonly skipped: readonly number[]; // empty rows among them, ascending, by the same count; they are no rows here
  readonly doubts: readonly string[];
  /** What forbids loading it, as finished text without the file's name; null: nothing. */
  readonly unfit: string | null;
  /** Columns that hold what is no cell: lists, groups, bytes. */
  readonly unreadable: ReadonlySet<string>;
  /** Hands on rows `from` up to `to` (not included), in pieces: for each of the columns its cells, null where empty. */
  read(columns: readonly string[], from: number, to: number, onPiece: (columns: readonly (readonly (string | null)[])[], from: number) => Promise<void> | void, signal: AbortSignal): Promise<void>;
  /** Hands on all rows, a piece at a time, each distinct cell of a column once; null: `read` is all there is. */
  readonly distinct: ((columns: readonly string[], signal: AbortSignal) => AsyncGenerator<DistinctRows, void>) | null;
}

/** Rows by the cells of columns. */
export interface DistinctRows {
  readonly rows: number;
  readonly cells: readonly DistinctCells[];
}

/** The cells of a column: row i holds text `places[i]`, or nothing where the place is −1 or the text empty. */
export interface DistinctCells {
  readonly texts: Words;
  readonly before: number; // so many of them, from the first on, are those of the last piece that had any
  readonly places: Int32Array;
}

/** Opens the tables of a file. Throws a Refusal where it is damaged, cut short, protected or packed in a way that can't be read. */
export async function openRowTables(file: UnpackedFile, signal: AbortSignal): Promise<readonly RowTable[]> {
  switch (file.format) {
    case 'parquet': return [await (await import('./parquetRows')).parquetRows(file)];
    case 'arrow': return [await (await import('./arrowRows')).arrowRows(file)];
    case 'workbook': return (await import('./workbookRows')).workbookRows(file, signal);
    case 'text': throw new Error('text has no rows of its own');
  }
}
