import { describe, expect, it } from 'vitest';
import { fieldPath, finishedMapping, withAddedTable, withField, withoutTable, withSource, withTable } from '../../lib/contract/editMapping';
import { Mapping } from '../../lib/contract/mapping';

const mapping = Mapping.parse({
  mapping: 1,
  registry: { name: 'Harbour', version: '1', opened: '2000-01-01', closing_date: '2020-12-31', deaths_closing_date: '2020-12-31', coverage_percent: null },
  sources: [{ file: 'ops.csv', tables: [{ table: 'procedures', fields: { side: { column: 's' } } }] }, { file: 'deaths.csv', tables: [{ table: 'deaths', fields: {} }] }],
});
const first = { source: 0, table: 0 };

describe('changes of a mapping', () => {
  it('give a field a column, another one, and none', () => {
    const sex = withField(mapping, first, 'sex', { column: 'gender', missing: [] });
    expect(Object.keys(sex.sources[0]!.tables[0]!.fields)).toEqual(['side', 'sex']);
    expect(withField(sex, first, 'sex', { constant: 'male' }).sources[0]!.tables[0]!.fields['sex']).toEqual({ constant: 'male' });
    expect(withField(sex, first, 'sex', null)).toEqual(mapping);
    expect(fieldPath(first, 'sex')).toBe('sources.0.tables.0.fields.sex');
  });

  it('leave everything else, and the mapping before, as it was', () => {
    const before = structuredClone(mapping);
    const changed = withSource(withTable(mapping, first, { when: 's' }), 1, { file: 'deaths_*.csv' });
    expect(mapping).toEqual(before);
    expect(changed.sources.map(({ file, tables }) => [file, tables[0]?.when])).toEqual([['ops.csv', 's'], ['deaths_*.csv', null]]);
  });

  it('add records of another table, and take them out; a file without any is left out of what is kept', () => {
    const wide = withAddedTable(mapping, 0, { table: 'revisions', when: 'again', unless: [], fields: {} });
    expect(wide.sources[0]?.tables.map(({ table }) => table)).toEqual(['procedures', 'revisions']);
    expect(withoutTable(wide, { source: 0, table: 1 })).toEqual(mapping);
    expect(finishedMapping(withoutTable(mapping, { source: 1, table: 0 })).sources.map(({ file }) => file)).toEqual(['ops.csv']);
  });
});
