import { describe, expect, it } from 'vitest';
import type { FoundSource, Inspection } from '../../lib/intake/inspection';
import { inspect } from '../../lib/intake/inspect';
import { inspectText } from '../../lib/intake/text/inspectText';
import { ordersOf } from '../../lib/intake/dates';
import { suggestMapping } from '../../lib/intake/suggest/suggestMapping';

type Bytes = string | Uint8Array<ArrayBuffer>;
const signal = new AbortController().signal;
const utf16 = (text: string, little = true): Uint8Array<ArrayBuffer> => {
  const bytes = new Uint8Array(text.length * 2);
  for (let i = 0; i < text.length; i++) new DataView(bytes.buffer).setUint16(i * 2, text.charCodeAt(i), little);
  return bytes;
};
/** Windows-1252 of letters that it has in the place of Latin-1. */
const latin1 = (text: string): Uint8Array<ArrayBuffer> => Uint8Array.from(text, (letter) => letter.charCodeAt(0));

async function look(content: Bytes, name = 'file.csv'): Promise<FoundSource> {
  const { sources: [source], problems } = await inspect([{ name, content: new Blob([content]) }], signal);
  if (source === undefined) throw new Error(problems.join(' '));
  return source;
}
const column = (source: FoundSource, name: string) => source.columns.find((each) => each.name === name);

describe('how a text file is laid out', () => {
  const rows = 'Fall;Größe;BMI\n1;S;24,5\n2;M;31,0\n';
  it.each([
    ['commas', 'id,side\n1,left\n2,right\n', { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 }],
    ['semicolons with decimal commas', rows, { encoding: 'utf-8', delimiter: ';', decimal: ',', headerLine: 1 }],
    ['tabs', 'id\tside\n1\tleft\n', { delimiter: '\t' }],
    ['vertical bars', 'id|side\n1|left\n', { delimiter: '|' }],
    ['a comma within quotes is no delimiter (RFC 4180)', 'id;note\n1;"a, b, c"\n2;"d, e, f"\n', { delimiter: ';' }],
    ['UTF-8 with a byte order mark', `\uFEFF${rows}`, { encoding: 'utf-8' }],
    ['bytes that are no UTF-8', latin1(rows), { encoding: 'windows-1252', delimiter: ';' }],
    ['UTF-16 with a byte order mark', utf16(`\uFEFF${rows}`), { encoding: 'utf-16le', delimiter: ';' }],
    ['UTF-16 the other way round', utf16(`\uFEFF${rows}`, false), { encoding: 'utf-16be', delimiter: ';' }],
    ['UTF-16 without a byte order mark', utf16('id;side\n1;left\n2;right\n'), { encoding: 'utf-16le', delimiter: ';' }],
    ['a title above the names of the columns', 'Export of the shoulder registry\n\nid;side;sex\n1;left;f\n2;right;m\n', { delimiter: ';', headerLine: 3 }],
    ['the line that spreadsheets write for each other', 'sep=;\nid;side\n1;left\n', { delimiter: ';', headerLine: 2 }],
  ])('%s', async (_, content, layout) => {
    expect((await look(content)).layout).toMatchObject(layout);
  });

  it('letters of Windows-1252 are read as that, not as Latin-1', async () => {
    const source = await look(latin1('name;side\nD\x92Or\x80;left\nM\xfcller;right\n')); // 0x92, 0x80: Encoding Standard, index windows-1252
    expect(source.preview.map(([name]) => name)).toEqual(['D’Or€', 'Müller']);
    expect(source.doubts.join(' ')).toContain('Windows-1252');
  });

  it('what is not sure is said', async () => {
    expect((await look('P1;left\nP2;right\n12;left\n')).doubts).toEqual([]);
    expect((await look('17;left\n18;right\n')).doubts.join(' ')).toContain('Line 1 looks like a record');
    expect((await look('id;load\n1;1.234\n2;5.678\n')).doubts.join(' ')).toContain('could be thousands');
    expect((await look('id;id;\n1;2;3\n')).columns.map(({ name }) => name)).toEqual(['id', 'id (2)', 'column 3']);
    expect((await look('id;side\n1;left\n2;right;x\n')).doubts.join(' ')).toContain('the first is on line 3');
  });

  it('with a layout that the person set nothing is guessed', async () => {
    const file = { name: 'a.csv', content: new Blob(['x,y;z\n1,2;3\n']), format: 'text' as const };
    const source = await inspectText(file, signal, { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 });
    expect(source.columns.map(({ name }) => name)).toEqual(['x', 'y;z']);
  });
});

describe('the order of days', () => {
  it.each([
    ['2015-04-03', ['year-month-day']], // ISO 8601
    ['20150403', ['year-month-day']], // ISO 8601, basic form
    ['2015-04-03T00:00:00', ['year-month-day']],
    ['03/04/2015', ['day-month-year', 'month-day-year']],
    ['13.04.2015', ['day-month-year']],
    ['04/13/2015', ['month-day-year']],
    ['3-Apr-2015', ['day-month-year']],
    ['29.02.2015', []], // no leap year
    ['29.02.2016', ['day-month-year']],
    ['03.04.15', []],
    ['2015-04-03T00:00:00Z', []], // a moment, not a day
    ['13/13/2015', []],
  ])('%s', (text, orders) => { expect(ordersOf(text)).toEqual(orders); });

  it('a column decides only where some value excludes the other order', async () => {
    const days = (...values: string[]) => look(`id;op\n${values.map((value, i) => `${i};${value}`).join('\n')}\n`).then((source) => column(source, 'op'));
    expect((await days('03/04/2015', '05/06/2015'))?.dateOrders).toEqual(['day-month-year', 'month-day-year']);
    expect((await days('03/04/2015', '25/06/2015'))?.dateOrders).toEqual(['day-month-year']);
    expect((await days('03/04/2015', '25/06/2015', '06/25/2015'))?.dateOrders).toEqual([]); // mixed: told, not decided
    expect((await look('id;op\n1;03/25/2015\n2;25/03/2015\n')).doubts.join(' ')).toContain('more than one order');
    expect((await look('id;op\n1;03.04.15\n2;25.03.15\n')).doubts.join(' ')).toContain('two digits');
  });
});

describe('columns that should not be there', () => {
  it.each([
    ['Surname', 'Miller', true], ['Vorname', 'Max', true], ['date_of_birth', '1950-01-01', true], ['Geburtsdatum', '01.01.1950', true], ['NHS number', '1', true],
    ['serial_no', 'X1', true], ['contact', 'a.b@example.org', true], ['hospital_name', 'North', false], ['model name', 'G01', false], ['birth_weight', '3000', false],
  ])('%s', async (name, value, cautioned) => {
    expect((await look(`id;${name}\n1;${value}\n`)).columns[1]?.caution !== null).toBe(cautioned);
  });
});

describe('a suggestion', () => {
  const suggested = async (files: Readonly<Record<string, Bytes>>) => {
    const inspection: Inspection = await inspect(Object.entries(files).map(([name, content]) => ({ name, content: new Blob([content]) })), signal);
    return suggestMapping(inspection);
  };

  it('asks what names and values do not tell, and decides nothing', async () => {
    const { mapping, questions, unused } = await suggested({ 'primaries.csv': 'case_id;op_date;sex;side;surname;colour\n1;03/04/2015;1;l;Miller;red\n2;05/06/2016;2;r;Smith;blue\n' });
    const fields = mapping.sources[0]?.tables[0]?.fields ?? {};
    expect(fields['procedure_date']).toEqual({ column: 'op_date', missing: [] }); // no order of days
    expect(fields['side']).toMatchObject({ column: 'side', codes: { l: 'left', r: 'right' } });
    expect(fields['sex']).toMatchObject({ column: 'sex' });
    expect(questions.map(({ about, path }) => `${about} ${path}`)).toEqual(expect.arrayContaining([
      'registry registry.closing_date', 'dates sources.0.tables.0.fields.procedure_date.dates', 'joint sources.0.tables.0.fields.joint',
      'codes sources.0.tables.0.fields.sex.codes.1', 'codes sources.0.tables.0.fields.sex.codes.2',
    ]));
    expect(unused.map(({ column: name }) => name)).toEqual(['surname', 'colour']);
  });

  it('two yearly files of one form are one source', async () => {
    const { mapping } = await suggested({ 'ops_2015.csv': 'procedure_id,procedure_date\n1,2015-01-02\n', 'ops_2016.csv': 'procedure_id,procedure_date\n2,2016-01-02\n' });
    expect(mapping.sources.map(({ file }) => file)).toEqual(['ops_*.csv']);
  });
});
