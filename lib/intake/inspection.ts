import type { DateOrder, TextLayout } from '../contract/mapping';

/** What the files that a person brought hold, as far as the first rows tell. Nothing is loaded, nothing is decided. */
export interface Inspection {
  readonly sources: readonly FoundSource[];
  /** What could not be read, in finished sentences with the file's name. */
  readonly problems: readonly string[];
}

/** One file, or one sheet of a workbook. Files of a zip and gzip are named as they are when unpacked. */
export interface FoundSource {
  readonly file: string; // without folder
  readonly sheet: string | null;
  readonly format: 'text' | 'workbook' | 'parquet' | 'arrow';
  readonly bytes: number; // unpacked
  readonly rows: number; // looked at
  readonly allRows: number | null; // in the file; null: not known before it is read
  readonly layout: TextLayout | null; // as found; null where the format says by itself
  /** What could be otherwise and is to be confirmed, in finished sentences. */
  readonly doubts: readonly string[];
  /** In the order of the file. Names are unique: a second `date` is `date (2)`, a column without a name is `column 3`. */
  readonly columns: readonly FoundColumn[];
  /** The first rows as text, a row a list of cells in the order of `columns`. */
  readonly preview: readonly (readonly string[])[];
}

export interface FoundColumn {
  readonly name: string;
  readonly kind: 'empty' | 'whole number' | 'number' | 'day' | 'text';
  readonly filled: number; // of the rows looked at
  readonly distinct: number; // different values of those
  /** The different values, most frequent first; null where there are more than `mostValues`. */
  readonly values: readonly { readonly value: string; readonly rows: number }[] | null;
  /** For days: the orders that every value looked at fits. More than one: ask. None for a column that holds no days. */
  readonly dateOrders: readonly DateOrder[];
  /** The latest day of the rows looked at, ISO 8601; null: no days, or in which order they are written is open. */
  readonly latest: string | null;
  /** Why the column should be left out of the file altogether: it looks like names, birth dates or serial numbers; null: it does not. */
  readonly caution: string | null;
}

export const mostValues = 200;
export const previewRows = 12;
