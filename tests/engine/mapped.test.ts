import { tableFromArrays, tableToIPC } from 'apache-arrow';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LoadReport } from '../../lib/contract/loadReport';
import type { Mapping, SourceMapping, TextLayout } from '../../lib/contract/mapping';
import { sql } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { ordersOf } from '../../lib/intake/dates';
import { dayText } from '../../lib/intake/sql/dayText';
import { engines } from './engines';

const registry = { name: 'Harbour', version: '1', opened: '2000-01-01', closing_date: '2020-12-31', deaths_closing_date: '2020-12-31', coverage_percent: null };
const layout: TextLayout = { encoding: 'utf-8', delimiter: ';', decimal: ',', headerLine: 1 };
const source = (file: string, tables: SourceMapping['tables'], given: TextLayout | null = layout): SourceMapping => ({ file, sheet: null, layout: given, tables });
const from = (column: string, more: object = {}) => ({ column, missing: [], ...more });
const day = (column: string) => from(column, { dates: 'day-month-year' });

/** A hospital's own file: a row per operation, with what came after it. */
const wide = source('ops*.csv', [
  {
    table: 'procedures', when: null, unless: [], fields: {
      procedure_id: from('Fall'), patient_id: from('Patient'), procedure_date: day('OP-Datum'), joint: { constant: 'shoulder' }, side: from('Seite', { codes: { L: 'left', R: 'right' } }),
      class: { constant: 'anatomic_total' }, sex: from('Sex', { codes: { w: 'female', m: 'male' }, missing: ['k.A.'] }), bmi: from('BMI'),
    },
  },
  { table: 'revisions', when: 'Wechsel am', unless: [], fields: { procedure_id: from('Fall'), revision_date: day('Wechsel am'), kind: { constant: 'major' }, reasons: from('Grund', { codes: { Infekt: 'infection', Schmerz: 'pain' }, separator: '+' }) } },
  { table: 'components', when: 'Glenoid', unless: ['keins'], fields: { procedure_id: from('Fall'), role: { constant: 'glenoid' }, model_code: from('Glenoid'), design_class: { constant: 'all_poly_pegged' } } },
  { table: 'components', when: 'Schaft', unless: [], fields: { procedure_id: from('Fall'), role: { constant: 'humeral_stem' }, model_code: from('Schaft'), design_class: { constant: 'short_stem' } } },
]);
const header = 'Fall;Patient;OP-Datum;Seite;Sex;BMI;Wechsel am;Grund;Glenoid;Schaft';
const mapping = (...sources: SourceMapping[]): Mapping => ({ mapping: 1, registry, sources });
const text = (name: string, ...lines: readonly string[]) => ({ name, content: new Blob([lines.join('\n')]) });

async function loaded(open: (typeof engines)[number]['open'], files: Parameters<typeof loadExtract>[1], by: Mapping): Promise<{ report: LoadReport; followup: string; setAside: readonly string[] }> {
  const result = await loadExtract(open, files, { mapping: by });
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join(' '));
  const { database } = result.extract;
  const rows = await database.query(sql('SELECT f::VARCHAR AS row FROM (SELECT * EXCLUDE (procedure, patient) FROM followup ORDER BY procedure_day, side) f'));
  const out = await database.query(sql(`SELECT concat_ws(' | ', "table", file, line, field, rule, value) AS text FROM set_aside`));
  await database.close();
  return { report: result.report, followup: rows.texts('row').join('\n'), setAside: out.texts('text').map(String) };
}
const ofTable = (report: LoadReport, name: string) => report.tables.find(({ table }) => table === name);

describe.each(engines)('a wide file with names and codes of its own, $engine', ({ open }) => {
  it('every row is accounted for, and what fails is shown as it stands in the file, with its line', async () => {
    const { report, setAside } = await loaded(open, [text('ops_2010.csv', header,
      'p1;a;03.04.2010;L;w;24,5;05.06.2012;Infekt+Schmerz;G01;S01', // line 2
      '"p2";b;"04.04.2010";R;k.A.;;;;keins;S01',
      '', // no record
      'p3;c;31.02.2010;L;w;20;;;G01;S01', // line 5: no such day
      'p4;d;05.04.2010;X;m;27.5;;Infekt;G01;', // line 6: a code, a number with a point, and a reason without a day
      'p5;e;06.04.2010;L', // line 7: cells missing
      'p6;f;07.04.2010;R;m;31,0;;;;S02')], mapping(wide));
    expect(setAside).toEqual([
      'components | ops_2010.csv | 5 | procedure_id | procedure_set_aside', 'components | ops_2010.csv | 5 | procedure_id | procedure_set_aside',
      'components | ops_2010.csv | 6 | procedure_id | procedure_set_aside',
      'procedures | ops_2010.csv | 5 | procedure_date | not_a_date | 31.02.2010', 'procedures | ops_2010.csv | 6 | side | unknown_code | X',
      'procedures | ops_2010.csv | 7 |  | wrong_number_of_cells', 'revisions | ops_2010.csv | 6 | revision_date | missing',
    ]);
    expect(report.tables.filter(({ table }) => ['procedures', 'revisions', 'components'].includes(table)).map(({ table, read, kept, setAside: out }) => [table, read, kept, out]))
      .toEqual([['procedures', 6, 3, 3], ['components', 7, 4, 3], ['revisions', 2, 1, 1]]);
    expect(ofTable(report, 'components')?.withoutRecord).toEqual([
      { file: 'ops_2010.csv', column: 'Glenoid', rows: 2, of: 5, contradicting: 0 }, { file: 'ops_2010.csv', column: 'Schaft', rows: 1, of: 5, contradicting: 0 }]);
  });

  it('two yearly files make one table; findings name the file', async () => {
    const { report, setAside } = await loaded(open, [
      text('ops_2011.csv', header, 'p3;c;01.01.2011;L;x;;;;G01;S01'), text('ops_2010.csv', header, 'p1;a;03.04.2010;L;w;24,5;;;G01;S01', 'p1;a;03.04.2010;L;w;24,5;;;;'),
    ], mapping(wide));
    expect(ofTable(report, 'procedures')).toMatchObject({ file: 'ops_2010.csv, ops_2011.csv', read: 3, kept: 1, setAside: 2 });
    expect(setAside.filter((row) => row.startsWith('procedures'))).toEqual(['procedures | ops_2010.csv | 3 | procedure_id | duplicate_record | see line 2', 'procedures | ops_2011.csv | 2 | sex | unknown_code | x']);
  });
});

it('a mark that says there was no revision makes none, whatever stands in the row beside it', async () => {
  const status = source('study.csv', [
    { table: 'procedures', when: null, unless: [], fields: { procedure_date: day('op'), joint: { constant: 'shoulder' }, class: { constant: 'hemi' }, follow_up_end: day('end') } },
    { table: 'revisions', when: 'status', unless: ['0'], fields: { revision_date: day('end'), kind: { constant: 'major' }, reasons: from('why') } },
  ]);
  const { report } = await loaded(openNodeDatabase, [text('study.csv', 'op;end;status;why', '01.01.2010;01.01.2015;0;', '01.01.2010;01.06.2012;1;pain', '01.01.2010;01.01.2016;0;pain')], mapping(status));
  expect(report.revisions).toMatchObject({ firstRevisions: 1, linkedById: 1 }); // rows are the keys where the file has none
  expect(ofTable(report, 'revisions')?.withoutRecord).toEqual([{ file: 'study.csv', column: 'status', rows: 2, of: 3, contradicting: 1 }]);
});

it.each([
  ['a column that is not there', { ...wide, tables: wide.tables.map((t) => ({ ...t, fields: { ...t.fields, procedure_id: from('Case') } })) }, 'ops.csv has no column Case'],
  ['no order of days', { ...wide, tables: wide.tables.map((t) => (t.table === 'procedures' ? { ...t, fields: { ...t.fields, procedure_date: from('OP-Datum') } } : t)) }, 'In which order the days of OP-Datum are written must be given'],
  ['a code that is none', { ...wide, tables: wide.tables.map((t) => (t.table === 'procedures' ? { ...t, fields: { ...t.fields, side: from('Seite', { codes: { L: 'links' } }) } } : t)) }, 'links is no code of side'],
  ['a file that is not there', { ...wide, file: 'other.csv' }, 'No file is called other.csv'],
])('a mapping with %s is refused, with the path in it', async (_, given, words) => {
  const result = await loadExtract(openNodeDatabase, [text('ops.csv', header, 'p1;a;03.04.2010;L;w;24,5;;;G01;S01')], { mapping: mapping(given) });
  expect(result).toMatchObject({ status: 'refused', problems: expect.arrayContaining([expect.objectContaining({ rule: 'mapping', message: expect.stringContaining(words) as string })]) as unknown });
});

// Whatever form a table comes in, the same follow-up comes out.
it('any layout of the same records gives the same rows and the same accounts', async () => {
  const utf16 = (t: string) => { const bytes = new Uint8Array(t.length * 2); for (let i = 0; i < t.length; i++) new DataView(bytes.buffer).setUint16(i * 2, t.charCodeAt(i), true); return bytes; };
  const rowOf = fc.record({ patient: fc.integer({ min: 1, max: 40 }), date: fc.integer({ min: 0, max: 9000 }), side: fc.constantFrom('left', 'right', 'both'), bmi: fc.option(fc.integer({ min: 100, max: 900 })), after: fc.option(fc.integer({ min: 0, max: 3000 })) });
  const iso = (days: number): string => new Date(Date.UTC(1999, 11, 1) + days * 86_400_000).toISOString().slice(0, 10);
  const names = ['id', 'patient', 'op', 'side', 'bmi', 'rev'];
  const tables: SourceMapping['tables'] = [
    { table: 'procedures', when: null, unless: [], fields: { procedure_id: from('id'), patient_id: from('patient'), procedure_date: from('op'), joint: { constant: 'shoulder' }, side: from('side'), class: { constant: 'hemi' }, bmi: from('bmi') } },
    { table: 'revisions', when: 'rev', unless: [], fields: { procedure_id: from('id'), revision_date: from('rev'), kind: { constant: 'major' } } },
  ];
  const dated = (dates: 'day-month-year' | 'year-month-day'): SourceMapping['tables'] => JSON.parse(JSON.stringify(tables).replace(/("column":"(op|rev)")/g, `$1,"dates":"${dates}"`)) as SourceMapping['tables'];
  await fc.assert(fc.asyncProperty(fc.array(rowOf, { minLength: 1, maxLength: 25 }), async (rows) => {
    const cells = [{ patient: 99, date: 4000, side: 'left', bmi: 250, after: 10 }, ...rows].map((row, i) =>
      [`p${i}`, `a${row.patient}`, iso(row.date), row.side, row.bmi === null ? '' : (row.bmi / 10).toFixed(1), row.after === null ? '' : iso(row.date + row.after)]);
    const turned = (cell: string, i: number): string => (i === 2 || i === 5 ? cell.split('-').reverse().join('.') : i === 4 ? cell.replace('.', ',') : cell);
    const csv = (mark: string, end: string, change: (cell: string, i: number) => string = (cell) => cell, above = ''): string => above + [names, ...cells.map((row) => row.map(change))].map((row) => row.join(mark)).join(end);
    const forms: readonly [Uint8Array<ArrayBuffer> | string, SourceMapping][] = [
      [csv(',', '\n'), source('f', dated('year-month-day'), { ...layout, delimiter: ',', decimal: '.' })],
      [csv(';', '\r\n', turned), source('f', dated('day-month-year'), { ...layout, encoding: 'windows-1252' })],
      [utf16(csv('\t', '\n', (cell) => cell, 'a title\n\n')), source('f', dated('year-month-day'), { encoding: 'utf-16le', delimiter: '\t', decimal: '.', headerLine: 3 })],
      [new Uint8Array(tableToIPC(tableFromArrays(Object.fromEntries(names.map((name, i) => [name, cells.map((row) => row[i] ?? '')]))), 'file')), source('f', tables, null)],
    ];
    const results: Awaited<ReturnType<typeof loaded>>[] = [];
    for (const [content, by] of forms) results.push(await loaded(openNodeDatabase, [{ name: 'f', content: new Blob([content]) }], mapping(by)));
    const accounts = ({ report }: (typeof results)[number]) => [report.revisions, report.rules.map(({ table, field, rule, count }) => [table, field, rule, count]), report.tables.map(({ table, read, kept }) => [table, read, kept])];
    for (const each of results.slice(1)) {
      expect(each.followup).toBe(results[0]?.followup);
      expect(accounts(each)).toEqual(results[0] === undefined ? null : accounts(results[0]));
    }
  }), { numRuns: 12, seed: 5 });
}, 120_000);

it('a table may hold the same for every row of the file and nothing of its columns: all glenoids were keeled', async () => {
  const by = (given: TextLayout | null): Mapping => mapping(source('f', [
    { table: 'procedures', when: null, unless: [], fields: { procedure_date: from('day', { dates: 'year-month-day' }), joint: { constant: 'shoulder' }, side: from('side'), class: { constant: 'anatomic_total' }, follow_up_end: { constant: '2015-06-30' } } },
    { table: 'components', when: null, unless: [], fields: { role: { constant: 'glenoid' }, model_code: { constant: 'G01' }, design_class: { constant: 'all_poly_keeled' } } },
  ], given));
  const days = ['2011-02-03', '2012-03-04', '2013-04-05'], side = ['left', 'right', 'left'];
  const csv = ['day,side', ...days.map((at, i) => `${at},${side[i] ?? ''}`)].join('\n'), arrow = new Uint8Array(tableToIPC(tableFromArrays({ day: days, side }), 'file'));
  const ofText = await loaded(openNodeDatabase, [{ name: 'f', content: new Blob([csv]) }], by({ ...layout, delimiter: ',', decimal: '.' }));
  const ofArrow = await loaded(openNodeDatabase, [{ name: 'f', content: new Blob([arrow]) }], by(null));
  expect(ofTable(ofArrow.report, 'components')).toMatchObject({ read: 3, kept: 3 });
  expect(ofArrow.followup).toBe(ofText.followup);
});

it('the engine reads days as the look into the files does', async () => {
  const database = await openNodeDatabase();
  const part = (min: number, max: number) => fc.integer({ min, max });
  const written = fc.tuple(part(0, 40), part(0, 14), part(1890, 2110), fc.constantFrom('/', '.', '-', ' '), fc.constantFrom('', ' 12:30', 'T00:00:00', 'Z'), fc.boolean())
    .map(([a, b, year, mark, time, first]) => (first ? `${year}${mark}${b}${mark}${a}` : `${a}${mark}${b}${mark}${year}`) + time);
  await fc.assert(fc.asyncProperty(fc.oneof(written, fc.constantFrom('20150403', '3-Apr-2015', '31APR2015', '3 Xyz 2015', '2015-4-3', 'x')), async (cell) => {
    for (const order of ['year-month-day', 'day-month-year', 'month-day-year'] as const) {
      const read = (await database.query(sql(`SELECT ${dayText('cell', order)} AS day FROM (SELECT ? AS cell)`, cell))).texts('day')[0] ?? null;
      const year = Number(read?.slice(0, 4) ?? 0);
      expect([cell, order, read !== null && year >= 1900 && year <= 2100]).toEqual([cell, order, ordersOf(cell).includes(order)]);
    }
  }), { numRuns: 300, seed: 7 });
  await database.close();
}, 60_000);

it.each(engines)('where a row holds both sides, procedures stand in the order of their numbers, which is that of the file, $engine', async ({ open }) => {
  const one = (side: string, when: string): SourceMapping['tables'][number] => ({
    table: 'procedures', when, unless: [], fields: { procedure_id: from(`Fall ${side}`), patient_id: from('Patient'), procedure_date: day(when), joint: { constant: 'hip' }, side: { constant: side }, class: { constant: 'total_hip' }, follow_up_end: { constant: '2015-12-31' } },
  });
  const result = await loadExtract(open, [text('beide.csv', 'Patient;Fall left;links am;Fall right;rechts am', 'a;a1;03.04.2010;a2;04.05.2011', 'b;;;b1;06.07.2012', 'c;c1;08.09.2012;c2;08.09.2013')],
    { mapping: mapping(source('beide.csv', [one('left', 'links am'), one('right', 'rechts am')])) });
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join(' '));
  const { database } = result.extract;
  const read = async (query: string, column: string) => (await database.query(sql(query))).texts(column);
  expect(await read('SELECT procedure_id FROM procedures', 'procedure_id')).toEqual(['a1', 'a2', 'b1', 'c1', 'c2']);
  expect(await read('SELECT procedure FROM followup', 'procedure')).toEqual(['0', '1', '3', '4', '5']); // the second row holds no left side
  expect(await read('SELECT patient FROM followup', 'patient')).toEqual(['0', '0', '3', '4', '4']);
  expect(await read('SELECT procedure_day - 14700 AS day FROM followup', 'day')).toEqual(['2', '398', '827', '891', '1256']);
  await database.close();
});
