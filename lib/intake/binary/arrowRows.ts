import { DataType, RecordBatchReader, type RecordBatch } from 'apache-arrow';
import { columnNames } from '../columns';
import { problem, Refusal } from '../refusal';
import type { UnpackedFile } from '../unpack';
import { within, withPlausibleLengths } from './arrowLengths';
import { cellText, dayText } from './cellText';
import type { RowTable } from './rowTable';

/** An Arrow IPC file or stream. It is taken into memory whole. */
export async function arrowRows(file: UnpackedFile): Promise<RowTable> {
  const batches: RecordBatch[] = [];
  let fields: readonly { readonly name: string | null; readonly type: DataType }[] = []; // a damaged file may have lost a name
  try {
    const bytes = new Uint8Array(await file.content.arrayBuffer());
    withPlausibleLengths(bytes.length, () => {
      const reader = RecordBatchReader.from(bytes);
      reader.open();
      fields = reader.schema.fields;
      for (const batch of reader) {
        within(batch.numRows, 8 * bytes.length);
        batches.push(batch);
      }
    });
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    const packed = /compress/i.test(reason);
    throw new Refusal([problem('damaged_arrow', packed
      ? 'the columns of this Arrow file are compressed, which can’t be read here; write it without compression, or as Parquet'
      : `this is no Arrow file, or it is damaged or cut short (${reason})`, { file: file.name })]);
  }
  const names = columnNames(fields.map(({ name }) => name ?? ''));
  const types = fields.map(({ type }) => (DataType.isDictionary(type) ? type.dictionary as DataType : type));
  const unreadable = new Set(names.filter((_, i) => !isCell(types[i])));
  return {
    sheet: null, distinct: null, names, rows: batches.reduce((sum, { numRows }) => sum + numRows, 0), firstRow: 1, skipped: [], unfit: null, unreadable,
    doubts: unreadable.size === 0 ? [] : [`Columns that hold lists, groups, bytes or decimals can’t be read: ${[...unreadable].join(', ')}.`],
    read: async (columns, from, to, onPiece, signal) => {
      let start = 0;
      for (const batch of batches) {
        signal.throwIfAborted();
        const first = Math.max(from - start, 0), last = Math.min(to - start, batch.numRows);
        if (first < last) {
          await onPiece(columns.map((name) => {
            const place = names.indexOf(name), vector = batch.getChildAt(place), type = types[place];
            return Array.from({ length: last - first }, (_, i) => textOf(vector?.get(first + i), type));
          }), start + first);
        }
        start += batch.numRows;
      }
    },
  };
}

const isCell = (type: DataType | undefined): boolean => type !== undefined
  && (DataType.isUtf8(type) || DataType.isLargeUtf8(type) || DataType.isInt(type) || DataType.isFloat(type) || DataType.isBool(type) || DataType.isDate(type)
    || DataType.isTimestamp(type) || DataType.isNull(type));

function textOf(value: unknown, type: DataType | undefined): string | null {
  if (typeof value === 'number' && type !== undefined && (DataType.isDate(type) || DataType.isTimestamp(type))) {
    return dayText(new Date(value), DataType.isTimestamp(type) && (type.timezone ?? '') !== '');
  }
  return cellText(value) ?? null;
}
