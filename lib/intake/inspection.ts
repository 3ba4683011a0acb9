import type { DateOrder, TextLayout } from '../contract/mapping';

/** What the files that a person brought hold, as far as the first rows tell. Nothing is loaded, nothing is decided. */
export interface Inspection {
  readonly sources: readonly FoundSource[];
  /** What could not be read, in finished sentences with the file's name. */
  readonly problems: readonly string[];
}

/** One file, or one sheet of a workbook. */
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
  readonly columns: readonly FoundColumn[];
  /** The first rows as text, a row a list of cells in the order of `columns`. */
  readonly preview: readonly (readonly string[])[];
}

export interface FoundColumn {
  readonly name: string;
  readonly kind: 'empty' | 'whole number' | 'number' | 'day' | 'text';
  readonly filled: number; // of the rows looked at
  /** The different values, most frequent first; null where there are more than `mostValues`. */
  readonly values: readonly { readonly value: string; readonly rows: number }[] | null;
  /** For days written as text: the orders that every value looked at fits. More than one: ask. */
  readonly dateOrders: readonly DateOrder[];
}

export const mostValues = 200;
