import { BlobWriter, TextReader, ZipWriter } from '@zip.js/zip.js';
import { parquetWriteBuffer } from 'hyparquet-writer';
import { describe, expect, it } from 'vitest';
import type { Problem } from '../../lib/contract/loadReport';
import { sql } from '../../lib/engine/database';
import type { ExtractFile } from '../../lib/intake/extractFile';
import { loadExtract } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { csv, smallExtract, textFile } from './smallExtract';

const row = { procedure_id: 'p1', patient_id: 'a' };
const good = smallExtract({ procedures: [row] });
const goodCsv = csv('procedures', [row]);

/** The good extract with one file in another's place. */
const withFile = (file: ExtractFile, instead = file.name): ExtractFile[] => [...good.filter(({ name }) => name !== instead), file];
const withText = (text: string | Uint8Array<ArrayBuffer>, name = 'procedures.csv'): ExtractFile[] => withFile(textFile(name, text));
const without = (name: string): ExtractFile[] => good.filter((file) => file.name !== name);

const latin1 = (text: string): Uint8Array<ArrayBuffer> => Uint8Array.from(text, (letter) => letter.charCodeAt(0));
const utf16 = (text: string): Uint8Array<ArrayBuffer> => new Uint8Array(Uint16Array.from(text, (letter) => letter.charCodeAt(0)).buffer);
const parquet = (): Uint8Array<ArrayBuffer> => new Uint8Array(parquetWriteBuffer({
  columnData: [{ name: 'patient_id', data: ['a'], type: 'STRING' }, { name: 'death_date', data: ['2012-01-01'], type: 'STRING' }],
}));

async function zip(files: readonly (readonly [string, string])[], password?: string): Promise<ExtractFile> {
  const writer = new ZipWriter(new BlobWriter(), { useWebWorkers: false, ...(password === undefined ? {} : { password }) });
  for (const [name, text] of files) await writer.add(name, new TextReader(text));
  return { name: 'extract.zip', content: await writer.close() };
}
const texts = async (files: readonly ExtractFile[]): Promise<[string, string][]> =>
  Promise.all(files.map(async ({ name, content }) => [name, await content.text()] as [string, string]));

async function flipped(file: ExtractFile, at: number): Promise<ExtractFile> {
  const bytes = new Uint8Array(await file.content.arrayBuffer());
  bytes[at] = (bytes[at] ?? 0) ^ 0xff;
  return { ...file, content: new Blob([bytes]) };
}

/** A file of any size that is made up as it is read, and counts what was read of it. */
class EndlessFile extends Blob {
  bytesRead = 0;
  constructor(private readonly start: string, private readonly byteLength: number) { super(); }
  override get size(): number { return this.byteLength; }
  override slice(from = 0, to = this.byteLength): Blob {
    this.bytesRead += to - from;
    const piece = new Uint8Array(to - from).fill(120);
    if (from === 0) new TextEncoder().encodeInto(this.start, piece);
    return new SlowBlob([piece]);
  }
}

/** Read as from a disk: other work gets its turn. */
class SlowBlob extends Blob {
  override async arrayBuffer(): Promise<ArrayBuffer> {
    await new Promise((resolve) => { setTimeout(resolve, 20); });
    return super.arrayBuffer();
  }
}

type Expected = Partial<Omit<Problem, 'message'>> & { message: string };
const header = goodCsv.slice(0, goodCsv.indexOf('\n'));
const columns = header.split(',');
const line2 = goodCsv.split('\n')[1] ?? '';

const cases: readonly [string, () => readonly ExtractFile[] | Promise<readonly ExtractFile[]>, Expected][] = [
  ['semicolons between cells', () => withText(goodCsv.replaceAll(',', ';')),
    { rule: 'delimiter', file: 'procedures.csv', line: 1, message: 'procedures.csv, line 1: cells are separated by semicolons; they must be separated by commas' }],
  ['tabs between cells', () => withText(goodCsv.replaceAll(',', '\t')), { rule: 'delimiter', message: 'procedures.csv, line 1: cells are separated by tabs; they must be separated by commas' }],
  ['Latin-1 text', () => withText(latin1(`${goodCsv}${line2.replace('H1', 'Königsberg')}\n`)),
    { rule: 'not_utf8', file: 'procedures.csv', line: 3, value: 'Königsberg', message: 'procedures.csv, line 3: the text is not UTF-8; read as Latin-1 it would say ‘Königsberg’. Save the file as UTF-8' }],
  ['UTF-16 text with its mark', () => withText(utf16(`\uFEFF${goodCsv}`)), { rule: 'not_csv', message: 'procedures.csv, line 1: the text is UTF-16. Save the file as UTF-8' }],
  ['UTF-16 text without its mark', () => withText(utf16(goodCsv)),
    { rule: 'not_csv', message: 'procedures.csv, line 1: the file holds zero bytes: it is UTF-16 text or no text at all. Save the file as UTF-8' }],
  ['an empty file', () => withText(''), { rule: 'not_csv', message: 'procedures.csv, line 1: the file is empty' }],
  ['a header and nothing else', () => withText(`${header}\n`), { rule: 'no_records', message: 'procedures.csv: the file holds a header but no records' }],
  ['an empty first line', () => withText(`\n${goodCsv}`), { rule: 'no_header', message: 'procedures.csv, line 1: the first line is empty; it must hold the names of the columns' }],
  ['a web page', () => withText('<!DOCTYPE html><html><body>Please sign in</body></html>'), { rule: 'not_csv', message: 'procedures.csv, line 1: this is a web page or XML, not CSV text' }],
  ['a spreadsheet', () => withText(latin1('PK\u0003\u0004xl/worksheets')),
    { rule: 'not_csv', message: 'procedures.csv, line 1: this is a zip or a spreadsheet, not CSV text. Export the sheet as CSV (UTF-8)' }],
  ['Parquet with the name of a CSV', () => withFile(textFile('deaths.csv', parquet())), { rule: 'not_csv', message: 'deaths.csv, line 1: this is a Parquet file; give it a name that ends in .parquet' }],
  ['a Parquet file cut short', () => withFile(textFile('deaths.parquet', parquet().slice(0, -20)), 'deaths.csv'),
    { rule: 'damaged_parquet', file: 'deaths.parquet', message: 'deaths.parquet: this is no Parquet file, or it is damaged or cut short' }],
  ['text with the name of a Parquet file', () => withFile(textFile('deaths.parquet', 'patient_id,death_date\n'), 'deaths.csv'),
    { rule: 'damaged_parquet', message: 'deaths.parquet: this is no Parquet file, or it is damaged or cut short' }],
  ['text in another encoding in the key of a patient: the key is not shown', () => withText(latin1(goodCsv.replace(',a,', ',Mülleró12,'))),
    { rule: 'not_utf8', line: 2, value: null, message: 'procedures.csv, line 2: the text is not UTF-8. Save the file as UTF-8' }],
  ['no line of names: the keys of the first record are not shown', () => withText(`P000123,A000123,2010-01-01\n`),
    { rule: 'missing_column', message: 'procedures.csv, line 1, procedure_id: the required column is missing; none of the 3 cells is a name of the data dictionary: is the line of names missing?' }],
  ['no line of names: neither is what stands beside the keys', () => withText(`P000123,Smith,2010-01-01\n`),
    { rule: 'missing_column', message: 'procedures.csv, line 1, procedure_id: the required column is missing; none of the 3 cells is' }],
  ['100 columns, none of them ours', () => withText(Array.from({ length: 100 }, (_, i) => `column ${i}`).join(',')),
    { rule: 'missing_column', line: 1, field: 'procedure_id', message: 'procedures.csv, line 1, procedure_id: the required column is missing; the 100 columns are ‘column 0’, ‘column 1’, ‘column 2’, ‘column 3’, ‘column 4’, ‘column 5’, ‘column 6’, ‘column 7’ and 92 more' }],
  ['a column that is missing', () => withText(goodCsv.replace('procedure_date', 'operated_on')), { rule: 'missing_column', field: 'procedure_date', message: 'procedures.csv, line 1, procedure_date: the required column is missing; the 19 columns are' }],
  ['a column in capitals', () => withText(goodCsv.replace('sex', 'Sex')),
    { rule: 'missing_column', field: 'sex', value: 'Sex', message: 'procedures.csv, line 1, sex: the column is missing; there is ‘Sex’, but names must match exactly' }],
  ['a column that stands twice', () => withText(goodCsv.replace('region', 'sex')),
    { rule: 'duplicate_column', line: 1, field: 'sex', message: 'procedures.csv, line 1, sex: the column stands twice in the header' }],
  ['a quote never closed', () => withText(`${goodCsv}${line2.replace('H1', '"H1')}\n${line2}\n`),
    { rule: 'unclosed_quote', line: 3, message: 'procedures.csv, line 3: a quoted cell is never closed' }],
  ['a quote closed within a cell', () => withText(`${goodCsv}${line2.replace('H1', '"H"1')}\n`),
    { rule: 'misplaced_quote', line: 3, message: 'procedures.csv, line 3: a quoted cell goes on after its closing quote' }],
  ['mixed line ends', () => withText(`${goodCsv}${line2}\r\n`), { rule: 'line_ends', message: 'procedures.csv: line ends are mixed: 1 lines end in CRLF, 2 in LF; save the file with one kind' }],
  ['line ends of old', () => withText(goodCsv.replaceAll('\n', '\r')), { rule: 'line_ends', line: 1, message: 'procedures.csv, line 1: a carriage return without a line feed' }],
  ['zero bytes further down', () => withText(`${goodCsv}${`${line2}\n`.repeat(2000)}a\0b`), { rule: 'zero_bytes', line: 2003, message: 'procedures.csv, line 2,003: the file holds zero bytes' }],
  ['a table that is missing', () => without('revisions.csv'),
    { rule: 'missing_table', message: 'there is no file for the table revisions (one row per re-operation); expected revisions.csv or revisions.parquet, found procedures.csv, components.csv' }],
  ['no files', () => [], { rule: 'missing_table', message: 'there is no file for the table procedures (one row per primary joint replacement); expected procedures.csv or procedures.parquet' }],
  ['two files for one table', () => [...good, textFile('old/procedures.csv', goodCsv)],
    { rule: 'two_files', message: 'more than one file holds the table procedures: procedures.csv, old/procedures.csv' }],
  ['two rows in the registry', () => withText(csv('registry', [{}, { version: '2' }]), 'registry.csv'), { rule: 'one_row', message: 'registry.csv: the table must hold one row; it holds 2' }],
  ['no closing date', () => withText(csv('registry', [{ closing_date: null }]), 'registry.csv'),
    { rule: 'missing', line: 2, field: 'closing_date', message: 'registry.csv, line 2, closing_date: A required cell is empty' }],
  ['a closing date that is none', () => withText(csv('registry', [{ closing_date: '31.12.2020' }]), 'registry.csv'),
    { rule: 'not_a_date', line: 2, field: 'closing_date', value: '31.12.2020', message: 'registry.csv, line 2, closing_date: Not a calendar day written as YYYY-MM-DD: ‘31.12.2020’' }],
  ['a closing date before the first day', () => withText(csv('registry', [{ closing_date: '1999-12-31' }]), 'registry.csv'),
    { rule: 'dates_reversed', line: 2, field: 'closing_date', value: '1999-12-31', message: 'registry.csv, line 2, closing_date: the closing date 1999-12-31 lies before the first day 2000-01-01' }],
  ['procedures of which none can be kept', () => withText(csv('procedures', [{ ...row, sex: 'f' }, { ...row, procedure_id: 'p2', sex: 'm' }])),
    { rule: 'unknown_code', line: 2, field: 'sex', value: 'f', message: 'procedures.csv, line 2, sex: Not a code of the list: ‘f’ (and in 1 more records)' }],
  ['a zip cut short', async () => {
    const whole = await zip(await texts(good));
    return [{ ...whole, content: whole.content.slice(0, whole.content.size - 300) }];
  }, { rule: 'corrupt_zip', file: 'extract.zip', message: 'extract.zip: the file is no zip, or is cut short' }],
  ['a zip with a damaged file', async () => [await flipped(await zip(await texts(good)), 120)], { rule: 'corrupt_zip', file: 'extract.zip', message: 'extract.zip: procedures.csv is damaged in it' }],
  ['text with the name of a zip', () => [textFile('extract.zip', goodCsv)], { rule: 'corrupt_zip', message: 'extract.zip: the file is no zip, or is cut short' }],
  ['a zip with a password', async () => [await zip(await texts(good), 'secret')], { rule: 'encrypted_zip', message: 'extract.zip: procedures.csv is protected by a password' }],
  ['a zip bomb', async () => [await zip([...await texts(without('procedures.csv')), ['procedures.csv', ' '.repeat(300 * 1024 ** 2)]])],
    { rule: 'zip_too_large', file: 'extract.zip', message: 'extract.zip: procedures.csv grows to more than 200 times its packed size' }],
  ['a zip beside other files', async () => [...good, await zip([])], { rule: 'two_files', message: 'extract.zip: a zip stands beside other files; choose either the zip or the files' }],
  ['a description that is no JSON', () => [...good, textFile('datapackage.json', '<html>')], { rule: 'not_json', message: 'datapackage.json: this is no JSON' }],
  ['a description with another delimiter', () => [...good, textFile('datapackage.json', '{"resources":[{"name":"procedures","path":"procedures.csv","dialect":{"delimiter":";"}}]}')],
    { rule: 'package_description', field: 'resources.0.dialect.delimiter', message: 'datapackage.json, resources.0.dialect.delimiter: ' }],
  ['a description that leads out of the folder', () => [...good, textFile('datapackage.json', '{"resources":[{"name":"procedures","path":"../../procedures.csv"}]}')],
    { rule: 'outside_path', value: '../../procedures.csv', message: 'datapackage.json: the path leads out of the package' }],
  ['a description of a file that is not there', () => [...good, textFile('datapackage.json', '{"resources":[{"name":"procedures","path":"primaries.csv"}]}')],
    { rule: 'missing_table', value: 'primaries.csv', message: 'datapackage.json: the file of the resource procedures is not there' }],
];

describe('bad input', () => {
  it.each(cases)('%s: a clear message, and no engine is left open', async (_, files, { message, ...where }) => {
    let opened = 0;
    const result = await loadExtract(async () => {
      const database = await openNodeDatabase();
      opened++;
      return { ...database, close: async () => { opened--; await database.close(); } };
    }, await files());
    if (result.status === 'loaded') throw new Error('was loaded');
    expect(result.problems[0]?.message).toContain(message);
    expect(result.problems[0]).toMatchObject(where);
    expect(opened).toBe(0);
  });

  it('a cell too many at the end of a line, empty or not, sets that record aside', async () => {
    const rows = ['p2', 'p3', 'p4'].map((id) => line2.replace('p1,a', `${id},${id}`));
    const result = await loadExtract(openNodeDatabase, withText(`${goodCsv}${rows[0] ?? ''},\n${rows[1] ?? ''},x\n${rows[2] ?? ''}\n`));
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    expect(result.report.tables[0]).toMatchObject({ table: 'procedures', read: 4, kept: 2, setAside: 2 });
    expect(result.report.rules.find(({ rule }) => rule === 'wrong_number_of_cells')?.examples.map(({ line }) => line)).toEqual([3, 4]);
    await result.extract.database.close();
  });

  it('records that a stray quote has swallowed are not shown with their keys', async () => {
    const swallowed = line2.replace(/S1,[^\n]*$/, `"S1${'x'.repeat(70)}\n${line2.replace('p1', 'p2')}",,,`);
    const result = await loadExtract(openNodeDatabase, withText(`${goodCsv}${swallowed.replace('p1', 'p3')}\n`));
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    expect(result.report.rules.map(({ rule, examples }) => [rule, examples])).toEqual([['too_long', [{ file: 'procedures.csv', line: 3, value: null }]]]);
    await result.extract.database.close();
  });

  it('two gigabytes in one line are refused long before they are read', async () => {
    const file = new EndlessFile(`${header}\n`, 2 * 1024 ** 3);
    const result = await loadExtract(openNodeDatabase, withFile({ name: 'procedures.csv', content: file, path: '/dev/null' }));
    expect(result).toMatchObject({ status: 'refused', problems: [{ rule: 'too_long_line', line: 2 }] });
    expect(file.bytesRead).toBeLessThan(512 * 1024 ** 2);
  });

  it('two gigabytes without any line end are refused after 64 KiB', async () => {
    const file = new EndlessFile('', 2 * 1024 ** 3);
    const result = await loadExtract(openNodeDatabase, withFile({ name: 'procedures.csv', content: file }));
    expect(result).toMatchObject({ status: 'refused', problems: [{ rule: 'not_csv', message: expect.stringContaining('longer than 64 KiB') as string }] });
    expect(file.bytesRead).toBe(64 * 1024);
  });

  it('says all that is wrong with the headers at once', async () => {
    const result = await loadExtract(openNodeDatabase, withFile(textFile('deaths.csv', 'patient,date\n')).map((file) =>
      (file.name === 'revisions.csv' ? textFile('revisions.csv', '') : file)));
    expect(result.status === 'refused' ? result.problems.map(({ file, field }) => [file, field]) : result.status)
      .toEqual([['revisions.csv', null], ['deaths.csv', 'patient_id'], ['deaths.csv', 'death_date']]);
  });

  it('a file that changes or goes away while it is read is refused in words', async () => {
    class GoneFile extends Blob {
      override slice(from?: number, to?: number): Blob {
        return (from ?? 0) === 0 && (to ?? 0) <= 64 * 1024 ? super.slice(from, to) : new GoneBlob();
      }
    }
    class GoneBlob extends Blob {
      override arrayBuffer(): Promise<ArrayBuffer> { return Promise.reject(new DOMException('The requested file could not be read', 'NotReadableError')); }
    }
    const result = await loadExtract(openNodeDatabase, withFile({ name: 'procedures.csv', content: new GoneFile([goodCsv]) }));
    expect(result).toMatchObject({ status: 'refused', problems: [{ rule: 'file_changed', message: expect.stringContaining('Choose the files again') as string }] });
  });

  it('the extract loaded before stays usable', async () => {
    const before = await loadExtract(openNodeDatabase, good);
    if (before.status === 'refused') throw new Error(before.problems[0]?.message);
    expect((await loadExtract(openNodeDatabase, withText('<html>'))).status).toBe('refused');
    expect((await loadExtract(openNodeDatabase, without('revisions.csv'))).status).toBe('refused');
    expect([...(await before.extract.database.query(sql('SELECT exit_day FROM followup'))).numbers('exit_day')]).toEqual([4017]);
    await before.extract.database.close();
  });

  it('a load that is aborted throws the reason and closes its database', async () => {
    const abort = new AbortController();
    let closed = 0;
    const load = loadExtract(async () => {
      const database = await openNodeDatabase();
      return { ...database, close: async () => { closed++; await database.close(); } };
    }, good, { signal: abort.signal, onProgress: ({ label }) => { if (label === 'Reading procedures') abort.abort(new Error('another file was chosen')); } });
    await expect(load).rejects.toThrow('another file was chosen');
    expect(closed).toBe(1);
  });
});

describe('odd but good input', () => {
  const odd: readonly [string, () => readonly ExtractFile[] | Promise<readonly ExtractFile[]>, string[]][] = [
    ['a byte order mark', () => withText(`\uFEFF${goodCsv}`), []],
    ['CRLF line ends', () => withText(goodCsv.replaceAll('\n', '\r\n')), []],
    ['no line end at the end', () => withText(goodCsv.trimEnd()), []],
    ['every cell in quotes', () => withText(goodCsv.replace(/[^,\n]+/g, '"$&"')), []],
    ['columns in another order', () => withText(goodCsv.split('\n').map((line) => line.split(',').reverse().join(',')).join('\n')), []],
    ['columns of its own', () => withText(goodCsv.split('\n').map((line, i) => (i === 0 ? `${line},note,note,` : `${line},x,=1+1,`)).slice(0, 2).join('\n')), ['note', 'note', '']],
    ['300 columns, ours among them', () => withText([
      `${header},${Array.from({ length: 281 }, (_, i) => `own_${i.toString(36)}`).join(',')}`, `${line2},${Array.from({ length: 281 }, String).join(',')}`].join('\n')),
    Array.from({ length: 281 }, (_, i) => `own_${i.toString(36)}`)],
    ['line ends of another kind within a cell', () => withText(csv('registry', [{ name: '"Harbour\r\nregistry"' }]), 'registry.csv'), []],
    ['a line of names into which records have run: their keys are not shown', () => withText(`${goodCsv.split('\n')[0] ?? ''},note P000123,glenoid\n${line2},,\n`), ['column 20', 'glenoid']],
    ['names in folders and the clutter of a desktop', () => [
      ...good.map((file) => ({ ...file, name: `extract/${file.name}` })), textFile('__MACOSX/extract/._procedures.csv', 'x'), textFile('extract/.DS_Store', 'x')], []],
    ['a zip with a folder and the clutter of a desktop', async () => [await zip([
      ...(await texts(good)).map(([name, text]) => [`extract/${name}`, text] as const), ['__MACOSX/extract/._procedures.csv', 'x'], ['extract/.DS_Store', 'x']])], []],
    ['other names, told by the description', async () => [await zip([
      ...(await texts(good)).map(([name, text]) => [`data/2024-${name}`, text] as const),
      ['datapackage.json', JSON.stringify({ resources: good.map(({ name }) => ({ name: name.replace('.csv', ''), path: `data/2024-${name}` })) })]])], []],
  ];

  it.each(odd)('%s', async (_, files, ignored) => {
    const result = await loadExtract(openNodeDatabase, await files());
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    expect((await result.extract.database.query(sql('SELECT exit_day, hospital FROM followup'))).texts('hospital')).toEqual(['H1']);
    expect(result.report.tables[0]).toMatchObject({ table: 'procedures', read: 1, kept: 1, ignoredColumns: ignored });
    await result.extract.database.close();
  });

  it('a file that belongs to nothing is named', async () => {
    const result = await loadExtract(openNodeDatabase, [...good, textFile('readme.txt', 'x')]);
    expect(result.status === 'loaded' ? result.report.ignoredFiles : []).toEqual(['readme.txt']);
  });

  it('an optional column or table that is not there is read as empty, and said', async () => {
    const slim = [columns, line2.split(',')].map((cells) => cells.filter((_, i) => columns[i] !== 'bmi').join(',')).join('\n');
    const result = await loadExtract(openNodeDatabase, withText(slim).filter(({ name }) => name !== 'deaths.csv'));
    if (result.status === 'refused') throw new Error(result.problems[0]?.message);
    expect(result.report.notes.slice(0, 2)).toEqual([
      'There is no table of deaths: patients who died are followed up as if they were alive, and death can’t be shown as a competing event.',
      'procedures.csv has no column bmi; read as empty in every record.',
    ]);
    expect((await result.extract.database.query(sql('SELECT bmi FROM followup'))).texts('bmi')).toEqual([null]);
  });
});
