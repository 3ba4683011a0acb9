import type { Policy } from '../disclosure/policy';

/** A cell as shown, with the number behind it at full precision. */
export interface Cell {
  readonly text: string;
  readonly value?: number;
  /** Counts of people that the cell says or could be computed back to; a small one among them keeps the cell from leaving the page. */
  readonly basis?: readonly number[];
  /** What stands in its place in print and in files. */
  readonly outside?: string;
  /** The same as a number, where it is one. */
  readonly outsideValue?: number;
  /** A count that is told elsewhere too, so that it is of no use to hide it here. */
  readonly toldElsewhere?: boolean;
  /** Counts of other rows that could be computed from the cell. */
  readonly reveals?: readonly Place[];
  /** 0–1: how strongly its ground is shaded. A help for the eye; the text says the same. */
  readonly shade?: number;
  /** Where the text leads to: a page of the site or a part of this one. */
  readonly href?: string;
}

export interface Column {
  readonly label: string;
  readonly numeric: boolean;
  /** Position of the group that the column or cell is about; gives it the group's line. */
  readonly group?: number;
}

export interface Row {
  /** Rows of one block belong together and, where the table says so, add up to a total that is known. */
  readonly block?: string;
  readonly group?: number;
  readonly cells: readonly Cell[];
}

/** A table as it is shown, read out, printed and taken away. */
export interface ReportTable {
  readonly name: string; // names the file
  readonly title: string;
  readonly method: string; // how the numbers were made, for the reader of the file
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  /** The counts of a block add up to a known total, so one hidden count could be computed from the others. */
  readonly blocksAddUp?: boolean;
  /** What else the counts sum to, where a hidden one could be computed from others. */
  readonly relations?: readonly Relation[];
}

/** The place of a count of people: row and column. */
export type Place = readonly [row: number, column: number];

/**
 * One count, or a number that is told elsewhere, is what others make together. `rest`: a further part that no table tells but that follows from
 * the others, as the unrevised of all and revised.
 */
export interface Relation {
  readonly whole: Place | number;
  readonly parts: readonly Place[];
  readonly rest?: number;
}

export const text = (words: string): Cell => ({ text: words });

/** A table with `outside` in every cell that needs it, by a policy of what may leave; that of long ago where none is named. */
export type ProtectedTable = ReportTable & { readonly protected: true; readonly policy?: Policy };
