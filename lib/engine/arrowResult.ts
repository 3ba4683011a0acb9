import { DataType, Type, type Data, type Table, type Vector } from 'apache-arrow';
import type { ResultSet } from './database';

/** The result of a query in DuckDB-Wasm, which comes as an Arrow table. */
export function arrowResult(table: Table): ResultSet {
  const column = (name: string): Vector<DataType> => {
    const vector = table.getChild(name) as Vector<DataType> | null;
    if (vector === null) throw new Error(`the result has no column ${name}; it has ${table.schema.names.join(', ')}`);
    return vector;
  };
  return {
    rowCount: table.numRows,
    numbers: (name) => {
      const vector = column(name);
      if (!isNarrow(vector.type)) throw new Error(`column ${name} is ${nameOf(vector.type)}: cast it to INTEGER or DOUBLE`);
      const numbers = new Float64Array(table.numRows);
      let row = 0;
      for (const data of vector.data) {
        fill(numbers, row, data);
        row += data.length;
      }
      return numbers;
    },
    positions: (name) => {
      const { type, data } = column(name), positions = new Int32Array(table.numRows);
      if (!DataType.isInt(type) || type.bitWidth !== 32 || !type.isSigned) throw new Error(`column ${name} is ${nameOf(type)}: cast it to INTEGER`);
      let row = 0;
      for (const { values, length, nullCount, nullBitmap, offset } of data) {
        fillPositions(positions, row, length, values as Int32Array, nullCount > 0 ? nullBitmap : null, offset);
        row += length;
      }
      return positions;
    },
    texts: (name) => {
      const vector = column(name);
      const text = textOf(vector.type, name);
      const texts: (string | null)[] = new Array<string | null>(table.numRows);
      for (let row = 0; row < texts.length; row++) {
        const value: unknown = vector.get(row);
        texts[row] = value === null ? null : text(value);
      }
      return texts;
    },
  };
}

const nameOf = (type: DataType): string => Type[type.typeId];
const isNarrow = (type: DataType): boolean => (DataType.isInt(type) && type.bitWidth <= 32) || DataType.isFloat(type) || DataType.isBool(type);

function fill(numbers: Float64Array, from: number, data: Data): void {
  if (DataType.isBool(data.type)) {
    const bits = data.values as Uint8Array;
    for (let i = 0; i < data.length; i++) numbers[from + i] = (bits[(data.offset + i) >> 3]! >> ((data.offset + i) & 7)) & 1;
  } else {
    numbers.set((data.values as Float64Array).subarray(0, data.length), from);
  }
  if (data.nullCount === 0) return;
  for (let i = 0; i < data.length; i++) if (!data.getValid(i)) numbers[from + i] = NaN;
}

function fillPositions(positions: Int32Array, from: number, length: number, values: Int32Array, valid: Uint8Array | null, offset: number): void {
  for (let i = 0; i < length; i++) positions[from + i] = values[i]! + 1;
  if (valid === null) return;
  for (let i = 0; i < length; i++) if (((valid[(offset + i) >> 3]! >> ((offset + i) & 7)) & 1) === 0) positions[from + i] = 0;
}

function textOf(type: DataType, name: string): (value: unknown) => string {
  if (DataType.isDate(type)) return (value) => new Date(Number(value)).toISOString().slice(0, 10);
  if (DataType.isUtf8(type) || DataType.isDictionary(type) || DataType.isInt(type) || DataType.isFloat(type) || DataType.isBool(type)) return String;
  throw new Error(`column ${name} is ${nameOf(type)}: cast it to VARCHAR`);
}
