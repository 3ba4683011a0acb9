import fc from 'fast-check';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import type { Mapping, SourceMapping, TextLayout } from '../../lib/contract/mapping';
import { sql, type Database } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import type { NumberedColumn } from '../../lib/engine/load/cellColumn';
import { numberedBlocks } from '../../lib/engine/load/numberedCells';
import { rowsTogether } from '../../lib/engine/newColumn';
import { openNodeDatabase } from '../../lib/engine/node';
import { engines } from './engines';

const layout: TextLayout = { encoding: 'utf-8', delimiter: ';', decimal: ',', headerLine: 1 };
const from = (column: string, more: object = {}) => ({ column, missing: [], ...more });
const tables: SourceMapping['tables'] = [
  {
    table: 'procedures', when: null, unless: [], fields: {
      procedure_id: from('id'), patient_id: from('patient', { missing: ['0'] }), procedure_date: from('day', { dates: 'day-month-year', missing: ['01.01.1900'] }), joint: { constant: 'shoulder' },
      side: from('side', { codes: { L: 'left', ' R': 'right', u: null } }), class: from('class'), age_years: from('age'), bmi: from('bmi', { times: 0.1, missing: ['-'] }),
      follow_up_end: from('end', { dates: 'day-month-year' }), hospital_id: from('unit', { codes: { n: null } }),
    },
  },
  { table: 'revisions', when: 'revised', unless: ['no'], fields: { procedure_id: from('id'), revision_date: from('on', { dates: 'year-month-day' }), kind: { constant: 'major' }, reasons: from('why', { codes: { i: 'infection', x: null }, separator: '+' }), revision_id: from('revised', { missing: ['?'] }) } },
  { table: 'components', when: 'stem', unless: [], fields: { procedure_id: from('id'), role: { constant: 'humeral_stem' }, model_code: from('stem'), design_class: { constant: 'short_stem' } } },
];
/** Every field from a column of its own: records of which nothing is wrong go in as they are staged. */
const [procedures, revisions, components] = tables;
const byColumns: SourceMapping['tables'] = [
  { ...procedures!, fields: { ...procedures!.fields, joint: from('joint') } },
  { ...revisions!, when: 'on', unless: [], fields: { procedure_id: from('id'), revision_date: from('on', { dates: 'year-month-day' }), kind: from('revised', { codes: { r1: 'major', r2: 'minor', no: null } }), reasons: from('why', { codes: { i: 'infection', x: null }, separator: '+' }) } },
  components!,
];
const mapping: Mapping = {
  mapping: 1, registry: { name: 'Harbour', version: '1', opened: '2000-01-01', closing_date: '2020-12-31', deaths_closing_date: '2020-12-31', coverage_percent: null },
  sources: [{ file: 'f.csv', sheet: null, layout, tables }],
};
const header = 'id;patient;day;side;class;age;bmi;end;unit;revised;on;why;stem;joint;note';

/** All rows, without the numbers that stand for procedures and patients: they follow an order that joins may change. */
async function contents(database: Database, without: readonly string[] = []): Promise<unknown> {
  const hidden = ['procedure', 'patient', ...without].map((name) => `'${name}'`).join(', ');
  const names = (await database.query(sql(`SELECT table_name FROM duckdb_tables() WHERE database_name = 'extract' AND NOT temporary ORDER BY 1`))).texts('table_name');
  const all: unknown[] = [];
  for (const name of names) all.push([name, (await database.query(sql(`SELECT t::VARCHAR AS row FROM (SELECT COLUMNS(c -> c NOT IN (${hidden})) FROM ${name ?? ''}) t ORDER BY 1`))).texts('row')]);
  return [...all, (await database.query(sql(`SELECT t::VARCHAR AS row FROM (SELECT COLUMNS(c -> c NOT IN (${hidden})) FROM set_aside) t ORDER BY 1`))).texts('row')];
}

async function loaded(open: (typeof engines)[number]['open'], text: string, of = tables): Promise<unknown> {
  const result = await loadExtract(open, [{ name: 'f.csv', content: new Blob([text]) }], { mapping: { ...mapping, sources: [{ file: 'f.csv', sheet: null, layout, tables: of }] } });
  if (result.status === 'refused') return result.problems;
  const held = await contents(result.extract.database);
  await result.extract.database.close();
  return [result.report, held];
}

/** A quote is left to the engine, and the block that it stands in with it: every cell is then read by itself. */
const quoted = (line: string): string => line.replace(/[^;]*$/, (note) => `"${note}"`);
const odd = ['', ' ', 'x', '?', ' ; ', '-1', '999', '1e3', '12.5', '12,5', '01.02.2010', '1.2.2010', '31.02.2010', '2010-02-01', '01.02.1899', '01.02.2101', 'ü', '\u00A0', 'n', 'no', 'u', '+', 'i+x'].filter((cell) => !cell.includes(';'));
const cellOf = (...usual: readonly string[]) => fc.oneof({ weight: 12, arbitrary: fc.constantFrom(...usual) }, { weight: 1, arbitrary: fc.constantFrom(...odd) }, { weight: 1, arbitrary: fc.constantFrom(...usual).map((cell) => ` ${cell}\t`) });
const row = fc.tuple(
  cellOf('p1', 'p2', 'p3', 'p4', 'p5', 'p6', 'p7', 'p8', 'p9'), cellOf('a', 'b', 'c', '0'), cellOf('01.02.2010', '1/3/2011', '04.05.2012', '01.01.1900'), cellOf('L', 'R', ' R', 'left', 'u'),
  cellOf('anatomic_total', 'hemi', 'total_hip'), cellOf('60', '71', '82.0'), cellOf('255', '310,5', '-'), cellOf('', '31.12.2019'), cellOf('u1', 'u2', 'n', 'x'.repeat(70)),
  cellOf('', 'no', 'r1', 'r2', '?'), cellOf('', '2013-01-01', '2014-01-01'), cellOf('', 'i', 'i+pain', 'x'), cellOf('', 'S01', 'S02'), cellOf('shoulder', 'shoulder', 'hip'), fc.constantFrom('', 'n'),
).map((cells) => cells.join(';'));

describe('each distinct cell read once gives what every cell read by itself does', () => {
  it.each(engines.flatMap((each) => [{ ...each, of: tables, which: 'with constants' }, { ...each, of: byColumns, which: 'by columns' }]))('tables and findings are the same, whatever stands in the file, $engine, $which', async ({ open, engine, of }) => {
    await fc.assert(fc.asyncProperty(fc.array(fc.oneof({ weight: 20, arbitrary: row }, { weight: 1, arbitrary: fc.constantFrom('', 'p1;a') }), { minLength: 3, maxLength: 25 }), fc.constantFrom('\n', '\r\n'), fc.boolean(), async (rows, end, ended) => {
      const last = 'p0;z;01.02.2010;L;hemi;60;255;;u1;;;;S01;shoulder;';
      const file = (line: string): string => [header, ...rows, line].join(end) + (ended ? end : '');
      expect(await loaded(open, file(last), of)).toEqual(await loaded(open, file(quoted(last)), of));
    }), { numRuns: engine === 'native' ? 20 : 2, seed: 11 });
  }, 240_000);

  it('a Parquet file of the same cells gives the same rows, and sets the same aside', async () => {
    const names = header.split(';'), point = (by: SourceMapping['layout'], file: string): Mapping => ({ ...mapping, sources: [{ file, sheet: null, layout: by, tables }] });
    const rowsOf = async (name: string, content: Blob, by: Mapping): Promise<unknown> => {
      const result = await loadExtract(openNodeDatabase, [{ name, content }], { mapping: by });
      if (result.status === 'refused') return result.problems.map(({ rule }) => rule);
      const held = JSON.stringify(await contents(result.extract.database, ['file', 'line', 'primary_line'])).replace(/see line \d+/g, 'see line');
      await result.extract.database.close();
      return held;
    };
    await fc.assert(fc.asyncProperty(fc.array(row, { minLength: 3, maxLength: 25 }), async (rows) => {
      const lines = [...rows, 'p0;z;01.02.2010;L;hemi;60;255;;u1;;;;S01;shoulder;'], cells = lines.map((line) => line.split(';'));
      const parquet = parquetWriteBuffer({ columnData: names.map((name, i) => ({ name, type: 'STRING' as const, data: cells.map((each) => each[i] ?? '') })), rowGroupSize: 7 });
      expect(await rowsOf('f.parquet', new Blob([parquet]), point(null, 'f.parquet'))).toEqual(await rowsOf('f.csv', new Blob([[header, ...lines.map(quoted)].join('\n')]), point({ ...layout, decimal: '.' }, 'f.csv')));
    }), { numRuns: 12, seed: 13 });
  }, 120_000);

  it.each([['with constants', tables], ['by columns', byColumns]])('what is wrong with a cell of a later block is found there, and new cells are read, %s', async (_, of) => {
    const line = (i: number, day: string, { id = `p${i}`, side = 'L', age = 60, on = '' } = {}): string => `${id};a${i};${day};${side};hemi;${age};255;;u${i % 90};${on === '' ? '' : `r${1 + (i % 2)}`};${on};;S0${i % 5};shoulder;`;
    const days = Array.from({ length: 400 }, (_day, i) => new Date(Date.UTC(2010, 0, 1) + i * 86_400_000).toISOString().slice(0, 10).split('-').reverse().join('.'));
    const rows = Array.from({ length: 400_000 }, (_row, i) => line(i, days[Math.floor(i / 1000)]!, { side: i === 130_000 ? 'B' : 'L', age: i > 240_000 ? 61 : 60, on: i % 50 === 3 ? '2015-06-01' : i === 250_000 ? 'soon' : '' }));
    rows[200_000] = line(200_000, '31.02.2011');
    rows[380_000] = line(380_000, days[380]!, { id: '' });
    rows[390_000] = line(390_000, days[390]!, { id: 'p'.repeat(65) });
    const all = rows.map((each, i) => (i % 100_000 === 7 ? quoted(each) : each));
    const plain = await loaded(openNodeDatabase, [header, ...rows].join('\n'), of);
    expect(plain).toMatchObject([{ tables: expect.anything() as unknown }, expect.anything()]); // not refused
    expect(plain).toEqual(await loaded(openNodeDatabase, [header, ...all].join('\n'), of));
  }, 240_000);
});

describe('cells are numbered', () => {
  const decoder = new TextDecoder();
  async function read(rows: readonly (readonly string[])[], cells: number, end = '\n'): Promise<(readonly (readonly (string | null)[])[] | null)[]> {
    const text = [Array<string>(cells).fill('name'), ...rows].map((each) => each.join(';') + end).join(''), places = Array.from({ length: cells }, (_, i) => i);
    const found: (readonly (readonly (string | null)[])[] | null)[] = [];
    for await (const { columns, block } of numberedBlocks(new Blob([text]), { file: 'f.csv', cells, identifying: new Set(), delimiter: ';' }, places, new AbortController().signal)) {
      found.push(columns === null ? null : [...columns.values()].map((column) => Array.from({ length: block.records }, (_, row) => cellAt(column, row))));
    }
    return found;
  }
  const cellAt = ({ words: { bytes, starts, ends }, places }: NumberedColumn, row: number): string | null => {
    const place = places === null ? row : places[row]!;
    return place < 0 || starts[place] === ends[place] ? null : decoder.decode(bytes.subarray(starts[place], ends[place]));
  };
  const text = fc.array(fc.constantFrom('a', 'b', 'é', ' ', '\u{1F600}'), { maxLength: 3 }).map((letters) => letters.join(''));

  const given = (row: readonly string[]): (string | null)[] => row.map((cell) => (cell === '' ? null : cell));
  const columnsOf = (rows: readonly (readonly string[])[], cells: number): (string | null)[][] => Array.from({ length: cells }, (_, column) => rows.map((row) => given(row)[column]!));

  it('each stands for its text', async () => {
    await fc.assert(fc.asyncProperty(fc.array(fc.tuple(text, text, text), { minLength: 1, maxLength: 60 }), fc.constantFrom('\n', '\r\n'), async (rows, end) => {
      expect(await read(rows, 3, end)).toEqual([columnsOf(rows, 3)]);
    }), { numRuns: 200, seed: 3 });
  });

  it('a column of more distinct cells than are numbered keeps its texts, in the block in which that is found and after it', async () => {
    const rows = Array.from({ length: 2 * rowsTogether + 1 }, (_, i) => [i % 50_001 === 50_000 ? '' : `key ${i < 50_000 ? i : i - 10_000}`, `${i % 7}`]);
    expect(await read(rows, 2)).toEqual([0, 1, 2].map((block) => columnsOf(rows.slice(block * rowsTogether, (block + 1) * rowsTogether), 2)));
  });

  it('a block with a quote is left to the engine, and only that', async () => {
    const rows = Array.from({ length: rowsTogether + 2 }, (_, i) => ['a', i === 7 ? '"b"' : 'b']);
    expect(await read(rows, 2)).toEqual([null, [['a', 'a'], ['b', 'b']]]);
  });

  it('records are plain whatever their cells hold, in pieces of a file too', async () => {
    const cells = ['', 'x', 'ab', 'abc', 'abcd', 'Größe', ' a b', 'c\t', '!#', '\u00A0', '\u{1F600}'], wide = 'w'.repeat(997);
    const rows = Array.from({ length: 9000 }, (_, i) => [cells[i % 11]!, `${wide}${cells[i % 7]!}`, cells[(i * i) % 11]!]);
    expect(await read(rows, 3)).toEqual([columnsOf(rows, 3)]);
  });
});
