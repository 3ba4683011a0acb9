import { describe, expect, it } from 'vitest';
import { columnOf, emptyDraft, speaksOf, withInspection, withoutGone } from '../../../lib/reports/importing/draft';
import { column, smallDraft, source } from './smallDraft';

const nothingSuggested = { mapping: emptyDraft.mapping, reasons: [], questions: [], unused: [] };

describe('files and what a mapping says of them', () => {
  it.each([
    ['primaries_*.csv', 'Primaries_2014.CSV', true], ['primaries_*.csv', 'revisions_2014.csv', false], ['a+b.csv', 'a+b.csv', true], ['a.b', 'axb', false],
  ])('%s speaks of %s: %s', (pattern, file, speaks) => {
    expect(speaksOf({ file: pattern, sheet: null, layout: null, tables: [] }, source(file, []))).toBe(speaks);
  });

  it('a column of several files has the counts of all, and the orders of days that fit all', () => {
    const both = columnOf([
      source('a.csv', [column('day', ['03/04/2015'], { kind: 'day', dateOrders: ['day-month-year', 'month-day-year'] })]),
      source('b.csv', [column('day', ['25/04/2015', '03/04/2015'], { kind: 'day', dateOrders: ['day-month-year'] })]),
    ], 'day');
    expect(both).toMatchObject({ kind: 'day', filled: 3, dateOrders: ['day-month-year'] });
    expect(both?.values).toEqual([{ value: '03/04/2015', rows: 2 }, { value: '25/04/2015', rows: 1 }]);
  });

  it('what was said of a file stays when others are added', () => {
    const ops = source('ops.csv', [column('key', ['1'])]), deaths = source('deaths.csv', [column('patient', ['a'])]);
    const before = smallDraft([{ found: ops, table: 'procedures', fields: { procedure_id: { column: 'key', missing: [] } } }]);
    const suggested = smallDraft([{ found: ops, table: 'components', fields: {} }, { found: deaths, table: 'deaths', fields: { patient_id: { column: 'patient', missing: [] } } }]).mapping;
    const after = withInspection(before, { sources: [ops, deaths], problems: [] }, { ...nothingSuggested, mapping: suggested });
    expect(after.mapping.sources.map(({ file, tables }) => [file, tables.map(({ table }) => table)])).toEqual([['ops.csv', ['procedures']], ['deaths.csv', ['deaths']]]);
  });

  it('what was said of a file goes with it; what a mapping says of files that have not come yet stays', () => {
    const ops = source('ops.csv', [column('key', ['1'])]), deaths = source('deaths.csv', [column('patient', ['a'])]);
    const { mapping, ...before } = smallDraft([{ found: ops, table: 'procedures', fields: {} }, { found: deaths, table: 'deaths', fields: {} }]);
    const awaited = { file: 'later.csv', sheet: null, layout: null, tables: [] };
    const after = withoutGone({ ...before, mapping: { ...mapping, sources: [...mapping.sources, awaited] } }, { sources: [ops], problems: [] });
    expect(after.mapping.sources.map(({ file }) => file)).toEqual(['ops.csv', 'later.csv']);
  });

  it('a file of which nothing is known has its place, without a table', () => {
    const after = withInspection(emptyDraft, { sources: [source('notes.csv', [])], problems: [] }, nothingSuggested);
    expect(after.mapping.sources).toMatchObject([{ file: 'notes.csv', tables: [] }]);
  });
});
