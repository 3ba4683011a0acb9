import { gzipSync, strToU8, unzipSync, zipSync } from 'fflate';
import { tableFromArrays, tableToIPC } from 'apache-arrow';
import { describe, expect, it } from 'vitest';
import writeExcel from 'write-excel-file/node';
import { openRowTables } from '../../lib/intake/binary/rowTable';
import { inspect } from '../../lib/intake/inspect';

const signal = new AbortController().signal;
const file = (name: string, content: string | Uint8Array) => ({ name, content: new Blob([typeof content === 'string' ? content : new Uint8Array(content)]) });
const text = 'id,side\n1,left\n';

describe('files as they are brought', () => {
  it.each([
    ['a zip with a folder', [file('all.zip', zipSync({ 'a/ops.csv': strToU8(text), '__MACOSX/a/._ops.csv': strToU8('x') }))], ['ops.csv']],
    ['gzip', [file('ops.csv.gz', gzipSync(strToU8(text)))], ['ops.csv']],
    ['gzip within a zip', [file('all.zip', zipSync({ 'ops.csv.gz': gzipSync(strToU8(text)) }))], ['ops.csv']],
    ['a name that says nothing', [file('export', text)], ['export']],
    ['a zip with a wrong name', [file('data.csv', zipSync({ 'ops.csv': strToU8(text) }))], ['ops.csv']],
  ])('%s', async (_, files, names) => {
    const { sources, problems } = await inspect(files, signal);
    expect([sources.map((source) => source.file), problems]).toEqual([names, []]);
  });

  it.each([
    ['an old workbook, or one with a password', file('a.xls', Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1)), 'save it as .xlsx without a password'],
    ['a PDF', file('a.csv', '%PDF-1.7'), 'this is a PDF'],
    ['a web page', file('a.csv', '<!doctype html><table>'), 'web page'],
    ['JSON', file('a.csv', '[{"id":1}]'), 'JSON'],
    ['nothing', file('a.csv', ''), 'empty'],
    ['zero bytes', file('a.csv', Uint8Array.of(1, 2, 0, 0, 0, 5)), 'zero bytes'],
    ['gzip cut short', file('a.csv.gz', gzipSync(strToU8(text.repeat(100))).slice(0, 40)), 'damaged or cut short'],
    ['a zip cut short', file('a.zip', zipSync({ 'ops.csv': strToU8(text) }).slice(0, 60)), 'cut short'],
    ['a zip in a zip', file('a.zip', zipSync({ 'b.zip': zipSync({ 'ops.csv': strToU8(text) }) })), 'zip within a zip'],
    ['a Parquet file cut short', file('a.parquet', strToU8('PAR1xxxx')), 'Parquet'],
    ['an Arrow file cut short', file('a.arrow', strToU8('ARROW1\0\0xxxx')), 'Arrow'],
    ['a workbook without sheets', file('a.xlsx', zipSync({ 'xl/workbook.xml': strToU8('<workbook/>') })), 'damaged'],
    ['OpenDocument', file('a.ods', zipSync({ mimetype: strToU8('x'), 'content.xml': strToU8('<x/>') })), 'OpenDocument'],
  ])('%s is refused in plain words, the other files stay', async (_, bad, words) => {
    const { sources, problems } = await inspect([file('ops.csv', text), bad], signal);
    expect(sources.map((source) => source.file)).toEqual(['ops.csv']);
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(words);
  });

  it('gzip that grows without measure is refused', async () => {
    const { problems } = await inspect([file('a.csv.gz', gzipSync(new Uint8Array(300 * 1024 ** 2).fill(65)))], signal);
    expect(problems[0]).toContain('200 times its packed size');
  });
});

describe('a workbook', () => {
  type Cell = { value: string | number | boolean | Date; type?: unknown; format?: string } | null;
  const day = (iso: string): Cell => ({ value: new Date(`${iso}Z`), type: Date, format: 'dd/mm/yyyy hh:mm' });
  const workbook = async (data: Cell[][]): Promise<Uint8Array> => new Uint8Array(await writeExcel([{ sheet: 'Ops', data: data as never }]).toBuffer());
  const rows = async (content: Uint8Array) => {
    const [table] = await openRowTables({ ...file('a.xlsx', content), format: 'workbook' }, signal);
    if (table === undefined) throw new Error('no sheet');
    let columns: readonly (readonly (string | null)[])[] = [];
    await table.read(table.names, 0, table.rows, (piece) => { columns = piece; }, signal);
    return { table, columns };
  };
  const changed = (content: Uint8Array, change: (xml: string) => string): Uint8Array => {
    const parts = unzipSync(content), path = 'xl/worksheets/sheet1.xml';
    return zipSync({ ...parts, [path]: strToU8(change(new TextDecoder().decode(parts[path]))) });
  };

  it('days are days, numbers keep their digits, rows keep their numbers', async () => {
    const { table, columns } = await rows(await workbook([
      [{ value: 'Shoulders 2015' }], [], [{ value: 'id' }, { value: 'op' }, { value: 'bmi' }],
      [{ value: 1001 }, day('2015-04-03T00:00:00'), { value: 27.3 }], [], [{ value: 1002 }, day('2015-04-03T13:45:00'), { value: 30 }],
    ]));
    expect(table.names).toEqual(['id', 'op', 'bmi']);
    expect([table.firstRow, table.skipped]).toEqual([4, [5]]);
    expect(columns).toEqual([['1001', '1002'], ['2015-04-03', '2015-04-03T13:45:00'], ['27.3', '30']]);
  });

  it('what a formula came to is read, and what shows as an error stays one', async () => {
    const plain = await workbook([[{ value: 'id' }, { value: 'x' }], [{ value: 'a' }, { value: 2 }]]);
    const error = changed(plain, (xml) => xml.replace(/<c r="B2"[^>]*>.*?<\/c>/, '<c r="B2" t="e"><f>1/0</f><v>#DIV/0!</v></c>'));
    expect((await rows(error)).columns).toEqual([['a'], ['#DIV/0!']]);
    const formula = changed(plain, (xml) => xml.replace(/<c r="B2"[^>]*>.*?<\/c>/, '<c r="B2"><f>1+1</f><v>2</v></c>'));
    expect((await rows(formula)).columns).toEqual([['a'], ['2']]);
  });

  it.each([
    ['merged cells among the records', (xml: string) => xml.replace('</sheetData>', '</sheetData><mergeCells count="1"><mergeCell ref="A2:A3"/></mergeCells>'), 'cells A2:A3 are merged'],
    ['a formula without its result', (xml: string) => xml.replace(/<c r="B2"[^>]*>.*?<\/c>/, '<c r="B2"><f>1+1</f></c>'), 'the formula in cell B2 has no result'],
  ])('%s would be read as empty: said, and not loaded', async (_, change, words) => {
    const plain = await workbook([[{ value: 'id' }, { value: 'x' }], [{ value: 'a' }, { value: 2 }], [{ value: 'b' }, { value: 3 }]]);
    expect((await rows(changed(plain, change))).table.unfit).toContain(words);
    expect((await rows(plain)).table.unfit).toBeNull();
  });

  it('a title in merged cells above the table does no harm', async () => {
    const plain = await workbook([[{ value: 'Title' }], [{ value: 'id' }, { value: 'x' }], [{ value: 'a' }, { value: 2 }]]);
    const merged = changed(plain, (xml) => xml.replace('</sheetData>', '</sheetData><mergeCells count="1"><mergeCell ref="A1:B1"/></mergeCells>'));
    expect((await rows(merged)).table.unfit).toBeNull();
  });
});

it.each(['file', 'stream'] as const)('an Arrow %s', async (form) => {
  const table = tableFromArrays({ id: ['p1', 'p2'], bmi: Float64Array.of(27.3, 30), day: [new Date('2015-04-03T00:00:00Z'), new Date('2016-02-29T00:00:00Z')] });
  const { sources: [source] } = await inspect([file('a.arrow', tableToIPC(table, form))], signal);
  expect(source?.preview).toEqual([['p1', '27.3', '2015-04-03'], ['p2', '30', '2016-02-29']]);
  expect(source?.columns.map(({ kind }) => kind)).toEqual(['text', 'number', 'day']);
});

it('an Arrow file of which any four bytes say a thousand million is refused, or read, at once', async () => {
  const bytes = tableToIPC(tableFromArrays({ id: ['1', '2'], side: ['left', 'right'] }), 'file'), outcomes = new Set<string>();
  for (let at = 8; at < bytes.length - 10; at += 4) {
    const damaged = bytes.slice();
    new DataView(damaged.buffer).setInt32(at, 2 ** 30, true);
    const { sources, problems } = await inspect([file('a.arrow', damaged)], signal);
    outcomes.add(sources.length === 1 ? 'read' : problems.join());
  }
  for (const outcome of outcomes) expect(outcome).toMatch(/^read$|damaged or cut short|can’t be read/);
  expect(outcomes.size).toBeGreaterThan(1);
});
