import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import * as fc from 'fast-check';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import { pagedColumn } from '../../lib/intake/binary/pagedColumn';
import { decodedColumn, openColumn, type Decoded, type ReadColumn } from '../../lib/intake/binary/parquetColumn';
import { parquetRows } from '../../lib/intake/binary/parquetRows';
import { openParquetFile, type ParquetFile } from '../../lib/intake/binary/parquetFile';

const decoder = new TextDecoder();

/** The values of rows, however they came. */
function valuesOf(column: Decoded): unknown[] {
  const isNothing = (value: unknown): boolean => value === null || value === undefined || value === '';
  switch (column.kind) {
    case 'words': return Array.from(column.places, (place) => (place < 0 ? null : decoder.decode(column.words.bytes.subarray(column.words.starts[place], column.words.ends[place])) || null));
    case 'days': case 'numbers': return Array.from(column.places, (place) => (place < 0 ? null : column.numbers[place]));
    case 'dayValues': case 'values': return column.parts.flatMap((part) => Array.from(part, (value) => (isNothing(value) ? null : value)));
  }
}

type Range = Parameters<ReadColumn>[0][number];
const told = async (read: Promise<ReadColumn>, ranges: readonly Range[]): Promise<unknown> => {
  try {
    return valuesOf(await (await read)(ranges));
  } catch (error) {
    return String(error);
  }
};

const opened = (bytes: ArrayBuffer | Uint8Array<ArrayBuffer>): Promise<ParquetFile> => openParquetFile({ name: 'a.parquet', content: new Blob([bytes]) });

/** All columns as the decoder alone reads them, all rows and some of each group (for which it goes by the index of pages, and we by the pages); gives the names of those that were read from their pages. */
async function compared({ scan, options, columns }: ParquetFile, inParts = true): Promise<string[]> {
  const parts = scan.ranges.flatMap(({ rowStart, rowEnd }) => (!inParts || rowEnd - rowStart < 4 ? [] : [[{ rowStart: rowStart + 1, rowEnd: rowEnd - 1 }], [{ rowStart: (rowStart + rowEnd) >> 1, rowEnd }]]));
  const read: string[] = [];
  for (const column of columns) {
    for (const ranges of [scan.ranges, ...parts]) expect(await told(openColumn(options, column), ranges), column.element.name).toEqual(await told(decodedColumn(options, column), ranges));
    if ((await pagedColumn(options, column)?.(scan.ranges) ?? null) !== null) read.push(column.element.name);
  }
  return read;
}

const texts = fc.oneof(fc.constantFrom('left', 'right', 'ü', '\uFEFFx', ''), fc.string({ unit: 'binary', maxLength: 40 }), fc.nat(99_999).map((i) => `P${i}`));
const numbers = fc.oneof(fc.integer({ min: -100, max: 100 }), fc.integer({ min: -(2 ** 31), max: 2 ** 31 - 1 })), parts = fc.oneof(fc.double(), fc.constantFrom(NaN, -0, 22.5));
const columnOf = <T>(value: fc.Arbitrary<T>, count: number): fc.Arbitrary<(T | null)[]> => fc.tuple(fc.constantFrom(0, 1, 3, 1000), fc.array(value, { minLength: 1, maxLength: 40 }))
  .chain(([full, some]) => fc.array(fc.tuple(fc.nat(full), fc.nat(some.length - 1)), { minLength: count, maxLength: count }).map((rows) => rows.map(([has, which]) => (full !== 1000 && has === 0 ? null : some[which]!))));
const files = fc.tuple(fc.integer({ min: 1, max: 300 }), fc.constantFrom('SNAPPY', 'UNCOMPRESSED'), fc.constantFrom('OPTIONAL', 'REQUIRED'), fc.constantFrom(undefined, 'PLAIN'), fc.integer({ min: 1, max: 100 }), fc.integer({ min: 20, max: 400 }))
  .chain(([rows, codec, repetition, encoding, rowGroupSize, pageSize]) => fc.record({ text: columnOf(texts, rows), number: columnOf(numbers, rows), day: columnOf(numbers, rows), part: columnOf(parts, rows) }).map((values) => {
    const filled = <T>(column: readonly (T | null)[], empty: T): (T | null)[] => column.map((value) => (repetition === 'REQUIRED' ? value ?? empty : value));
    const columns = [
      { name: 'text', type: 'BYTE_ARRAY', converted_type: 'UTF8', data: filled(values.text, '') }, { name: 'number', type: 'INT32', data: filled(values.number, 0) },
      { name: 'day', type: 'INT32', converted_type: 'DATE', data: filled(values.day, 0).map((day) => (day === null ? null : new Date(day % 100_000 * 86_400_000))) }, { name: 'part', type: 'DOUBLE', data: filled(values.part, 0) },
    ] as const;
    return new Uint8Array(parquetWriteBuffer({
      codec, rowGroupSize, pageSize, schema: [{ name: 'root', num_children: columns.length }, ...columns.map((column) => ({ ...column, data: undefined, repetition_type: repetition }))],
      columnData: columns.map(({ name, data }) => ({ name, data: [...data], ...(encoding !== undefined && { encoding }) })),
    }));
  }));

describe('columns read straight from their pages are as the decoder reads them', () => {
  it('of any values', async () => {
    await fc.assert(fc.asyncProperty(files, async (bytes) => {
      expect(await compared(await opened(bytes))).toEqual(['text', 'number', 'day', 'part']);
    }), { numRuns: 60 });
  });

  it('and where a file is damaged', async () => {
    await fc.assert(fc.asyncProperty(files, fc.array(fc.tuple(fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }), fc.nat(255)), { minLength: 1, maxLength: 4 }), async (bytes, changes) => {
      const footer = bytes.length - 8 - new DataView(bytes.buffer).getUint32(bytes.length - 8, true), damaged = bytes.slice();
      for (const [where, byte] of changes) damaged[4 + Math.floor(where * (footer - 4))] = byte; // the footer is the decoder's alone
      await compared(await opened(damaged), false);
    }), { numRuns: 150 });
  });

  it.each([['V1', 'snappy', 12], ['V1', 'zstd', 12], ['V1', 'uncompressed', 12], ['V2', 'gzip', 0]] as const)('written by DuckDB, format %s, %s', async (version, compression, usual) => {
    const folder = await mkdtemp(join(tmpdir(), 'pages-')), path = join(folder, 'a.parquet'), instance = await DuckDBInstance.create(':memory:'), connection = await instance.connect();
    await connection.run(`COPY (SELECT 'P' || i AS key, CASE WHEN i % 7 > 0 THEN 'word ' || (i % 300) END AS word, 'one' AS same, NULL::VARCHAR AS nothing, (i % 90)::INTEGER AS age, CASE WHEN i % 3 = 0 THEN i::INTEGER END AS few,
        (i % 90) / 7.0 AS part, (i / 7.0)::DOUBLE AS parts, DATE '2000-01-01' + (i % 9000)::INTEGER AS day, (i % 9)::SMALLINT AS small, CASE WHEN i > 5000 THEN DATE '2000-01-01' END AS late, chr(200 + (i % 300)::INTEGER) AS letter
      FROM range(6000) t(i)) TO '${path}' (FORMAT parquet, COMPRESSION ${compression}, PARQUET_VERSION ${version}, ROW_GROUP_SIZE 2048)`);
    connection.closeSync();
    instance.closeSync();
    const read = await compared(await opened(new Uint8Array(await readFile(path))));
    await rm(folder, { recursive: true });
    expect(read.length).toBeGreaterThanOrEqual(usual);
  });

  it('a second column of a name is not read as the first', async () => {
    const bytes = new Uint8Array(parquetWriteBuffer({ columnData: [{ name: 'aa', data: ['x', 'y'], type: 'STRING' }, { name: 'n', data: [1, 2], type: 'INT32' }, { name: 'zz', data: ['u', 'v'], type: 'STRING' }] }));
    for (let i = 0; i + 1 < bytes.length; i++) if (bytes[i] === 122 && bytes[i + 1] === 122) bytes.set([97, 97], i); // the writer finds columns by their names
    const { options, columns, names } = await opened(bytes), { signal } = new AbortController(), table = await parquetRows({ name: 'a.parquet', format: 'parquet', content: new Blob([bytes]) }), cells: (string | null)[][] = [];
    expect([names, table.names]).toEqual([['aa', 'n', 'aa'], ['aa', 'n', 'aa (2)']]);
    await table.read(table.names, 0, 2, (piece) => { for (const column of piece) cells.push([...column]); }, signal);
    expect(cells).toEqual([['x', 'y'], ['1', '2'], ['u', 'v']]);
    for (const open of [openColumn, decodedColumn]) expect(await Promise.all(columns.map((column) => told(open(options, column), [{ rowStart: 0, rowEnd: 2 }])))).toEqual([['x', 'y'], [1, 2], ['u', 'v']]);
  });

  it('a part that would stand before the beginning of the file, or beyond what a file can have, ends no process', async () => {
    const { options: { file } } = await opened(new Uint8Array(parquetWriteBuffer({ columnData: [{ name: 'a', data: ['x'], type: 'STRING' }] })));
    expect(() => file.slice(-5, 3)).toThrow('before its beginning');
    expect((await file.slice(2 ** 40, 2 ** 41)).byteLength).toBe(0);
  });
});
