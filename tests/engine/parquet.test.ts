import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { beforeAll, describe, expect, it } from 'vitest';
import { fieldsOf } from '../../lib/contract/fields';
import { tables, type TableName } from '../../lib/contract/tables';
import { sql, type Database } from '../../lib/engine/database';
import type { ExtractFile } from '../../lib/intake/extractFile';
import { loadExtract } from '../../lib/engine/loadExtract';
import { engines } from './engines';
import { csv, smallExtract, textFile } from './smallExtract';

const procedures = [
  { procedure_id: 'p1', patient_id: 'a', asa_grade: 2, bmi: 27.5, follow_up_end: '2015-01-01', region: 'Müritz' },
  { procedure_id: 'p2', patient_id: 'b', asa_grade: null, bmi: null, procedure_date: '2012-02-29', age_years: 54, sex: 'male' },
  { procedure_id: 'p3', patient_id: 'c', bmi: 600 }, { procedure_id: 'p4', patient_id: 'd', age_years: 199 },
];
const extract = smallExtract({
  procedures, components: procedures.map(({ procedure_id }) => ({ procedure_id })), deaths: [{ patient_id: 'b', death_date: '2013-03-01' }],
  revisions: [{ revision_id: 'r1', procedure_id: 'p1', patient_id: 'a', revision_date: '2011-01-01' }],
});

const tableOf = (file: ExtractFile): TableName => file.name.replace('.csv', '') as TableName;

/** The same table as Parquet, all text, in row groups of two rows, by hyparquet-writer. */
async function textParquet(file: ExtractFile): Promise<ExtractFile> {
  const table = tableOf(file);
  const [header = '', ...lines] = (await file.content.text()).trimEnd().split('\n').map((line) => line.split(','));
  const columnData = fieldsOf(table).map(({ name }) =>
    ({ name, data: lines.map((line) => line[header.indexOf(name)] ?? '').map((cell) => (cell === '' ? null : cell)), type: 'STRING' as const }));
  return { name: `${table}.parquet`, content: new Blob([parquetWriteBuffer({ columnData, rowGroupSize: 2 })]) };
}

/** The same table as Parquet, numbers as numbers and dates as dates, by DuckDB's own writer. */
async function typedParquet(file: ExtractFile, compression: string): Promise<ExtractFile> {
  const folder = await mkdtemp(join(tmpdir(), 'parquet-'));
  const instance = await DuckDBInstance.create(':memory:');
  const connection = await instance.connect();
  const types = { integer: 'INTEGER', number: 'DOUBLE', date: 'DATE', text: 'VARCHAR', code: 'VARCHAR', codes: 'VARCHAR' };
  const columns = fieldsOf(tableOf(file)).map(({ name, kind }) => `'${name}': '${types[kind]}'`).join(', ');
  await writeFile(join(folder, 'in.csv'), await file.content.text());
  await connection.run(`COPY (FROM read_csv('${join(folder, 'in.csv')}', auto_detect = false, header = true, columns = {${columns}}))
    TO '${join(folder, 'out.parquet')}' (FORMAT parquet, COMPRESSION ${compression})`);
  connection.closeSync();
  instance.closeSync();
  const bytes = await readFile(join(folder, 'out.parquet'));
  await rm(folder, { recursive: true });
  return { name: `${tableOf(file)}.parquet`, content: new Blob([new Uint8Array(bytes)]) };
}

async function contents(database: Database): Promise<unknown> {
  const shown: Record<string, unknown> = {};
  for (const table of ['followup', ...Object.keys(tables)]) {
    const names = (await database.query(sql('SELECT column_name FROM duckdb_columns() WHERE table_name = ?', table))).texts('column_name');
    const rows = await database.query(sql(`SELECT ${names.map((name) => `"${name ?? ''}"::VARCHAR AS "${name ?? ''}"`).join(', ')} FROM ${table}`));
    shown[table] = names.map((name) => [name, rows.texts(name ?? '')]);
  }
  return shown;
}

describe('Parquet gives the same tables as CSV', () => {
  const [native, wasm] = engines;
  let fromCsv: unknown;
  beforeAll(async () => {
    const result = await loadExtract(native.open, extract);
    if (result.status === 'refused') throw new Error('refused');
    fromCsv = await contents(result.extract.database);
    await result.extract.database.close();
  }, 60_000);

  it.each([
    ['native', 'all text, rows in several groups', native.open, textParquet],
    ['wasm', 'all text, rows in several groups', wasm.open, textParquet],
    ['native', 'typed, gzip', native.open, (file: ExtractFile) => typedParquet(file, 'gzip')],
    ['native', 'typed, snappy', native.open, (file: ExtractFile) => typedParquet(file, 'snappy')],
    ['wasm', 'typed, zstd', wasm.open, (file: ExtractFile) => typedParquet(file, 'zstd')],
  ] as const)('%s, %s', async (_engine, _format, open, asParquet) => {
    const result = await loadExtract(open, await Promise.all(extract.map(asParquet)));
    if (result.status === 'refused') throw new Error('refused');
    expect(await contents(result.extract.database)).toEqual(fromCsv);
    const { tables: [procedureCounts], rules } = result.report;
    expect(procedureCounts).toMatchObject({ file: 'procedures.parquet', countedIn: 'rows', read: 4, kept: 3, setAside: 1, valuesSetAside: 1 });
    expect(rules.filter(({ table }) => table === 'procedures').map(({ field, examples }) => [field, ...examples.map(({ line }) => line)]))
      .toEqual([['age_years', 4], ['bmi', 3]]); // rows, from 1
    await result.extract.database.close();
  }, 120_000);
});

describe('values of the right type that do not fit their field', () => {
  const rows = [
    { hospital_id: 12, procedure_id: 'p1', age_years: 54, bmi: 27.5, procedure_date: '2011-05-06', side: 'left' }, { hospital_id: 12, procedure_id: 'p2', age_years: 199, bmi: 8.5, procedure_date: '1811-05-06', side: 'up' },
    { hospital_id: 7, procedure_id: 'p3', age_years: null, bmi: null, procedure_date: '2011-05-07', side: null }, { hospital_id: null, procedure_id: 'p4', age_years: 71, bmi: 31.25, procedure_date: '2012-02-29', side: 'right' },
    { hospital_id: 12, procedure_id: 'ü'.repeat(65), age_years: 60, bmi: 22, procedure_date: '2012-03-01', side: 'right' }, { hospital_id: -3, procedure_id: 'ü'.repeat(40), age_years: 61, bmi: 23, procedure_date: '2012-03-01', side: 'left' },
  ];
  const optional = { repetition_type: 'OPTIONAL' } as const, words = { type: 'BYTE_ARRAY', converted_type: 'UTF8', ...optional } as const;
  const columns = [
    { name: 'procedure_id', ...words, data: rows.map((row) => row.procedure_id) }, { name: 'joint', ...words, data: rows.map(() => 'shoulder') },
    { name: 'age_years', type: 'INT64', ...optional, data: rows.map(({ age_years: age }) => (age === null ? null : BigInt(age))) }, { name: 'hospital_id', type: 'INT32', ...optional, data: rows.map((row) => row.hospital_id) },
    { name: 'bmi', type: 'DOUBLE', ...optional, data: rows.map(({ bmi }) => bmi) }, { name: 'side', ...words, data: rows.map(({ side }) => side) },
    { name: 'procedure_date', type: 'INT32', converted_type: 'DATE', ...optional, data: rows.map((row) => new Date(row.procedure_date)) },
  ] as const;
  const typed = (rowGroupSize: number): ExtractFile => ({ name: 'procedures.parquet', content: new Blob([parquetWriteBuffer({
    rowGroupSize, schema: [{ name: 'root', num_children: columns.length }, ...columns.map((column) => ({ ...column, data: undefined }))], columnData: columns.map(({ name, data }) => ({ name, data: [...data] })),
  })]) });

  it.each(engines)('are told as those of a CSV file are, $engine', async ({ open }) => {
    const others = extract.filter(({ name }) => ['revisions.csv', 'registry.csv'].includes(name));
    const header = ['procedure_id', 'joint', 'age_years', 'hospital_id', 'bmi', 'side', 'procedure_date'] as const;
    const text = [header.join(','), ...rows.map((row) => header.map((name) => (name === 'joint' ? 'shoulder' : row[name] ?? '')).join(','))].join('\n');
    const told = async (file: ExtractFile): Promise<unknown> => {
      const result = await loadExtract(open, [...others, file]);
      if (result.status === 'refused') return result.problems;
      const shown = await contents(result.extract.database);
      await result.extract.database.close();
      return [shown, result.report.rules.filter(({ table }) => table === 'procedures').map(({ field, rule, scope, count, examples }) => [field, rule, scope, count, examples.map(({ line, value }) => [line - (file.name.endsWith('csv') ? 1 : 0), value])])];
    };
    const expected = await told(textFile('procedures.csv', text));
    for (const rowGroup of [2, 100]) expect(await told(typed(rowGroup))).toEqual(expected);
  });
});

describe('Parquet', () => {
  const withDeaths = (file: ExtractFile): ExtractFile[] => [...extract.filter(({ name }) => name !== 'deaths.csv'), file];
  const parquet = (name: string, columnData: Parameters<typeof parquetWriteBuffer>[0]['columnData']): ExtractFile =>
    ({ name, content: new Blob([parquetWriteBuffer({ columnData })]) });

  it('a time of day is no calendar day', async () => {
    const result = await loadExtract(engines[0].open, withDeaths(parquet('deaths.parquet', [
      { name: 'patient_id', data: ['a', 'b'], type: 'STRING' }, { name: 'death_date', data: [new Date('2013-03-01T00:00:00Z'), new Date('2013-03-01T10:00:00Z')], type: 'TIMESTAMP' }])));
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    expect(result.report.rules.filter(({ table }) => table === 'deaths').map(({ rule, examples }) => [rule, examples]))
      .toEqual([['not_a_date', [{ file: 'deaths.parquet', line: 2, value: '2013-03-01T10:00:00.000Z' }]]]);
    await result.extract.database.close();
  });

  it('a missing column is named; bytes are no text', async () => {
    expect(await loadExtract(engines[0].open, withDeaths(parquet('deaths.parquet', [{ name: 'patient_id', data: ['a'], type: 'STRING' }]))))
      .toMatchObject({ status: 'refused', problems: [{ rule: 'missing_column', field: 'death_date' }] });
    expect(await loadExtract(engines[0].open, withDeaths(parquet('deaths.parquet', [
      { name: 'patient_id', data: [{ id: 'a' }], type: 'JSON' }, { name: 'death_date', data: ['2013-03-01'], type: 'STRING' }]))))
      .toMatchObject({ status: 'refused', problems: [{ rule: 'parquet_type', field: 'patient_id' }] });
  });

  it('a footer that has lost the name of a column is damaged', async () => {
    const whole = parquet('deaths.parquet', [{ name: 'patient_id', data: ['a'], type: 'STRING' }, { name: 'death_date', data: ['2013-03-01'], type: 'STRING' }]);
    const bytes = new Uint8Array(await whole.content.arrayBuffer()), footer = bytes.length - 8 - new DataView(bytes.buffer).getUint32(bytes.length - 8, true), name = Buffer.from(bytes).indexOf('death_date', footer);
    expect(bytes[name - 2]).toBe(0x18); // the header of the field `name`: a text whose number is one above that of the field before
    bytes[name - 2] = 0xf8; // now fifteen above: a field that nobody knows
    expect(await loadExtract(engines[0].open, withDeaths({ name: whole.name, content: new Blob([bytes]) }))).toMatchObject({ status: 'refused', problems: [{ rule: 'damaged_parquet', file: 'deaths.parquet' }] });
  });

  it('no rows at all', async () => {
    const result = await loadExtract(engines[0].open, withDeaths(parquet('deaths.parquet', [
      { name: 'patient_id', data: [], type: 'STRING' }, { name: 'death_date', data: [], type: 'STRING' }])));
    expect(result.status === 'loaded' ? result.report.tables.find(({ table }) => table === 'deaths') : result).toMatchObject({ read: 0, kept: 0 });
    if (result.status === 'loaded') await result.extract.database.close();
  });
});

it('CSV and Parquet can stand side by side', async () => {
  const files = [...extract.filter(({ name }) => name !== 'procedures.csv'), await typedParquet(textFile('procedures.csv', csv('procedures', procedures)), 'zstd')];
  const result = await loadExtract(engines[0].open, files);
  expect(result.status).toBe('loaded');
  if (result.status === 'loaded') await result.extract.database.close();
});
