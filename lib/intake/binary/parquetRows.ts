import type { SchemaElement } from 'hyparquet';
import { msPerDay } from '../../contract/calendarDay';
import { columnNames } from '../columns';
import type { UnpackedFile } from '../unpack';
import { cellText } from './cellText';
import { distinctCells } from './distinctCells';
import { openColumn, type Decoded } from './parquetColumn';
import { decoding, openParquetFile } from './parquetFile';
import type { DistinctCells, RowTable } from './rowTable';

const rowsAtOnce = 100_000; // bounds the memory of decoded values

export async function parquetRows(file: UnpackedFile): Promise<RowTable> {
  const { scan, options, columns: children, names: inFile } = await openParquetFile(file), names = columnNames(inFile);
  const unreadable = new Set(names.filter((_, i) => (children[i]?.children.length ?? 0) > 0));
  return {
    sheet: null, names, rows: Number(scan.metadata.num_rows), firstRow: 1, skipped: [], unfit: null, unreadable,
    doubts: unreadable.size === 0 ? [] : [`Columns that hold lists or groups can’t be read: ${[...unreadable].join(', ')}.`],
    read: async (columns, from, to, onPiece, signal) => {
      for (const range of scan.ranges) {
        for (let rowStart = Math.max(range.rowStart, from); rowStart < Math.min(range.rowEnd, to); rowStart += rowsAtOnce) {
          const rowEnd = Math.min(rowStart + rowsAtOnce, range.rowEnd, to);
          const piece: (string | null)[][] = [];
          for (const name of columns) {
            signal.throwIfAborted();
            const place = names.indexOf(name), column = children[place]?.element.name ?? name, zoned = isZoned(children[place]?.element);
            piece.push(Array.from(await decoding(file.name, () => scan.readColumn({ column, rowStart, rowEnd })), (value: unknown) => {
              const text = cellText(value, zoned);
              if (text !== undefined) return text;
              unreadable.add(name);
              return null;
            }));
          }
          await onPiece(piece, rowStart);
        }
      }
    },
    distinct: async function* (columns, signal) {
      const opened = await Promise.all(columns.map(async (name) => {
        const child = children[names.indexOf(name)];
        if (child === undefined) throw new Error(`${file.name} has no column ${name}`);
        const zoned = isZoned(child.element), asText = (value: unknown): string | null => {
          const text = cellText(value, zoned);
          if (text === undefined) unreadable.add(name);
          return text ?? null;
        };
        const ofDays = distinctCells((day) => (typeof day === 'number' ? asText(new Date(day * msPerDay)) : null));
        return { read: await decoding(file.name, () => openColumn(options, child)), ofDays, ofValues: distinctCells(asText) };
      }));
      for (const range of scan.ranges) {
        for (let { rowStart } = range; rowStart < range.rowEnd; rowStart += rowsAtOnce) {
          const rowEnd = Math.min(rowStart + rowsAtOnce, range.rowEnd), cells: DistinctCells[] = [];
          for (const { read, ofDays, ofValues } of opened) {
            signal.throwIfAborted();
            cells.push(cellsOf(await decoding(file.name, () => read([{ rowStart, rowEnd }])), ofDays, ofValues));
          }
          yield { rows: rowEnd - rowStart, cells };
        }
      }
    },
  };
}

type CellsOf = (parts: readonly ArrayLike<unknown>[]) => DistinctCells;

function cellsOf(column: Decoded, ofDays: CellsOf, ofValues: CellsOf): DistinctCells {
  switch (column.kind) {
    case 'words': return { texts: column.words, before: 0, places: column.places };
    case 'days': return through(column.places, ofDays([column.numbers]));
    case 'numbers': return through(column.places, ofValues([column.numbers]));
    case 'dayValues': return ofDays(column.parts);
    case 'values': return ofValues(column.parts);
  }
}

/** The cells of rows that hold others' by their places. */
function through(places: Int32Array, cells: DistinctCells): DistinctCells {
  for (let i = 0; i < places.length; i++) if (places[i]! >= 0) places[i] = cells.places[places[i]!]!;
  return { ...cells, places };
}

/** Where the file does not say that its times are local, they are universal (Parquet's logical types, TIMESTAMP). */
const isZoned = (element: SchemaElement | undefined): boolean =>
  !(element?.logical_type?.type === 'TIMESTAMP' && !element.logical_type.isAdjustedToUTC);
