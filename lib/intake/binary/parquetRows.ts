import type { SchemaElement } from 'hyparquet';
import { columnNames } from '../columns';
import type { UnpackedFile } from '../unpack';
import { cellText } from './cellText';
import { decoding, openParquetFile } from './parquetFile';
import type { RowTable } from './rowTable';

const rowsAtOnce = 100_000; // bounds the memory of decoded values

export async function parquetRows(file: UnpackedFile): Promise<RowTable> {
  const { scan, columns: children } = await openParquetFile(file);
  const inFile = children.map(({ element }) => element.name), names = columnNames(inFile);
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
            const place = names.indexOf(name), column = inFile[place] ?? name, zoned = isZoned(children[place]?.element);
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
  };
}

/** Where the file does not say that its times are local, they are universal (Parquet's logical types, TIMESTAMP). */
const isZoned = (element: SchemaElement | undefined): boolean =>
  !(element?.logical_type?.type === 'TIMESTAMP' && !element.logical_type.isAdjustedToUTC);
