import { describeColumn } from '../columns';
import { previewRows, type FoundSource } from '../inspection';
import type { UnpackedFile } from '../unpack';
import { openRowTables, type RowTable } from './rowTable';

const mostRows = 20_000;

/** Looks at the first rows of each table of a file that keeps rows of its own. */
export async function inspectRows(file: UnpackedFile, signal: AbortSignal): Promise<readonly FoundSource[]> {
  const found: FoundSource[] = [];
  for (const table of await openRowTables(file, signal)) found.push(await describeRows(file, table, signal));
  return found;
}

/** Looks at the first rows of one table. */
export async function describeRows(file: UnpackedFile, table: RowTable, signal: AbortSignal): Promise<FoundSource> {
  const names = table.names.filter((name) => !table.unreadable.has(name));
  const columns = names.map((): (string | null)[] => []), rows = Math.min(table.rows, mostRows);
  await table.read(names, 0, rows, (piece) => {
    for (const [i, cells] of piece.entries()) for (const cell of cells) columns[i]?.push(cell);
  }, signal);
  const described = names.map((name, i) => describeColumn(name, (columns[i] ?? []).map((cell) => cell ?? ''), '.'));
  return {
    file: file.name, sheet: table.sheet, format: file.format, bytes: file.content.size, rows, allRows: table.rows, layout: null,
    doubts: [...table.doubts, ...described.flatMap(({ doubts }) => doubts)],
    columns: described.map(({ column }) => column),
    preview: Array.from({ length: Math.min(rows, previewRows) }, (_, row) => columns.map((cells) => cells[row] ?? '')),
  };
}
