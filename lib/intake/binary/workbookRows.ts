import { strToU8, zipSync } from 'fflate';
import readWorkbook from 'read-excel-file/universal';
import { columnNames } from '../columns';
import { problem, Refusal } from '../refusal';
import { nameDoubts } from '../text/inspectText';
import type { UnpackedFile } from '../unpack';
import { cellText } from './cellText';
import type { RowTable } from './rowTable';
import { sheetPaths, workbookParts } from './workbookParts';

/** The sheets of a workbook that hold anything. Formulas are read as the results that stand in the file, days as days. */
export async function workbookRows(file: UnpackedFile, signal: AbortSignal): Promise<readonly RowTable[]> {
  const parts = await workbookParts(file, signal);
  const paths = sheetPaths(parts), shown = new Map([...parts].map(([path, xml]) => [path, errorsAsText(xml)]));
  // Repacked without compression: the library then starts no worker of its own, and needs no second look at sizes and checksums.
  const packed = zipSync(Object.fromEntries([...shown].map(([path, xml]) => [path, strToU8(xml)])), { level: 0 });
  let sheets: readonly { readonly sheet: string; readonly data: readonly (readonly unknown[])[] }[];
  try {
    sheets = await readWorkbook(new Blob([packed]), { trim: false });
  } catch (error) {
    throw new Refusal([problem('damaged_workbook', `the workbook is damaged or of an unknown kind (${error instanceof Error ? error.message : String(error)})`, { file: file.name })]);
  }
  signal.throwIfAborted();
  return sheets.flatMap(({ sheet, data }, i) => sheetTable(sheet, data, parts.get(paths[i] ?? '') ?? '') ?? []);
}

/** `#N/A` and its like are what the cell shows, and not nothing. */
const errorsAsText = (xml: string): string => xml.replace(/(<(?:\w+:)?c\b[^>]*\bt=")e(")/g, '$1str$2');

function sheetTable(sheet: string, data: readonly (readonly unknown[])[], xml: string): RowTable | null {
  const cells = data.map((row) => row.map((value) => cellText(value) ?? null));
  const filled = cells.map((row) => row.filter((cell) => cell !== null).length);
  const widest = Math.max(0, ...filled);
  const headerAt = filled.findIndex((count) => count > 0 && count * 2 > widest);
  const header = cells[headerAt];
  if (header === undefined) return null;
  const used = header.map((_, i) => i).filter((i) => cells.some((row) => (row[i] ?? null) !== null));
  const headerCells = used.map((i) => header[i] ?? ''), names = columnNames(headerCells);
  const rows: (readonly (string | null)[])[] = [], skipped: number[] = [];
  const last = filled.findLastIndex((count) => count > 0);
  for (let at = headerAt + 1; at <= last; at++) {
    if (filled[at] === 0) skipped.push(at + 1);
    else rows.push(cells[at] ?? []);
  }
  const unfit = unfitIn(xml, headerAt + 1);
  return {
    sheet, distinct: null, names, rows: rows.length, firstRow: headerAt + 2, skipped, unfit, unreadable: new Set(),
    doubts: [
      ...(headerAt > 0 ? [`The names of the columns are taken from row ${headerAt + 1}; what stands above is not read.`] : []),
      ...nameDoubts(headerCells, names), ...(unfit === null ? [] : [`It can’t be loaded as it is: ${unfit}.`]),
    ],
    read: async (columns, from, to, onPiece) => {
      const places = columns.map((name) => used[names.indexOf(name)] ?? -1);
      if (from < Math.min(to, rows.length)) await onPiece(places.map((place) => rows.slice(from, to).map((row) => row[place] ?? null)), from);
    },
  };
}

/** Cells that look full to a person and are empty in the file would be read as not recorded. */
function unfitIn(xml: string, headerRow: number): string | null {
  const merged = [...xml.matchAll(/<(?:\w+:)?mergeCell\b[^>]*\bref="([A-Z]+\d+:[A-Z]+(\d+))"/g)].find(([, , lastRow]) => Number(lastRow) > headerRow);
  if (merged !== undefined) return `cells ${merged[1] ?? ''} are merged, so that all but one of them are empty; take the merging back and fill them`;
  const [, unsaved] = /<(?:\w+:)?c\b[^>]*\br="([A-Z]+\d+)"[^>]*>\s*<(?:\w+:)?f\b[^>]*(?:\/>|>[^<]*<\/(?:\w+:)?f>)\s*(?:<(?:\w+:)?v\s*\/>\s*)?<\/(?:\w+:)?c>/.exec(xml) ?? [];
  return unsaved === undefined ? null : `the formula in cell ${unsaved} has no result in the file; open it in a spreadsheet program and save it`;
}
