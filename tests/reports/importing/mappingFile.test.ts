import { describe, expect, it } from 'vitest';
import { mappingFile, pathWords, readMapping } from '../../../lib/reports/importing/mappingFile';
import { column, smallDraft, source } from './smallDraft';

const { mapping } = smallDraft([{ found: source('ops.csv', [column('s', ['L'])]), table: 'procedures', fields: { side: { column: 's', missing: ['?'], codes: { L: 'left' } } } }]);

describe('a mapping file', () => {
  it('brings back what was saved, in the same bytes whatever the order in which it was said', () => {
    const text = mappingFile(mapping), back = readMapping(text);
    expect(back).toEqual({ status: 'opened', mapping });
    const { sources, registry, ...others } = mapping;
    expect(mappingFile({ sources, ...others, registry })).toBe(text);
    expect(text).toContain('\n  "registry": {\n    "closing_date": "2020-12-31"');
  });

  it('leaves out files that hold nothing', () => {
    expect(readMapping(mappingFile({ ...mapping, sources: [{ file: 'notes.csv', sheet: null, layout: null, tables: [] }, ...mapping.sources] }))).toEqual({ status: 'opened', mapping });
  });

  it.each([
    ['{', /^The file is not JSON/],
    ['{}', /^mapping: /],
    [mappingFile(mapping).replace('"side"', '"sides"'), /^source 1, table 1, field sides: the table procedures has no field sides\.$/],
    [mappingFile(mapping).replace('"missing"', '"lost"'), /^source 1, table 1, field side: /],
    [mappingFile(mapping).replace('"mapping": 1', '"mapping": 2'), /^mapping: /],
  ])('that is wrong is refused with the place: %#', (text, words) => {
    const result = readMapping(text);
    expect(result.status === 'refused' && result.problems.some((problem) => words.test(problem)) ? '' : JSON.stringify(result)).toBe('');
  });

  it('says places in words', () => {
    expect(pathWords('sources.0.tables.1.fields.side.column')).toBe('source 1, table 2, field side, column');
    expect(pathWords('registry.closing_date')).toBe('registry, closing_date');
  });
});
