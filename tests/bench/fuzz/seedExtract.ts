import { fieldsOf, tableNames } from '../../../lib/contract/fields';
import type { TableName } from '../../../lib/contract/tables';
import { simulate } from '../../../sample-registry/simulate';

export type Cell = string | number | null;
/** A table as it is written: a header and rows of cells. */
export interface Grid { readonly header: readonly string[]; readonly rows: readonly (readonly Cell[])[] }
export type Grids = ReadonlyMap<TableName, Grid>;

/** A whole extract of a few procedures, with everything in it that the sample registry has. */
export function seedExtract(seed: number, procedures = 40): Grids {
  const grids = new Map(tableNames.map((table) => [table, { header: fieldsOf(table).map(({ name }) => name), rows: [] as Cell[][] }]));
  simulate({ procedures, seed }, {
    write: (table, row) => {
      const grid = grids.get(table)!;
      grid.rows.push(grid.header.map((name) => row[name] ?? null));
    },
  });
  return grids;
}

/** Every key of a patient, procedure or re-operation that the sample registry writes: none may stand in what is said of an extract. */
export const identifier = /[APR](?!0{6})\d{6}/; // zeros are of a code that was made long

const quoted = (cell: Cell): string => {
  const text = cell === null ? '' : String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
};

export const csvOf = ({ header, rows }: Grid): string => [header, ...rows].map((cells) => `${cells.map(quoted).join(',')}\n`).join('');
export const bytesOf = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);
