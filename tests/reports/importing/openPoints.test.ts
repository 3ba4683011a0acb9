import { describe, expect, it } from 'vitest';
import { closingKey, codeKey, emptyDraft, keyOf } from '../../../lib/reports/importing/draft';
import { problemsOf } from '../../../lib/reports/importing/check';
import { neededPoints, openPoints } from '../../../lib/reports/importing/openPoints';
import { column, smallDraft, source } from './smallDraft';

const from = (name: string) => ({ column: name, missing: [] });
const textsOf = (draft: Parameters<typeof openPoints>[0]) => openPoints(draft).map(({ step, text }) => `${step}: ${text}`);
const confirmed = new Set([closingKey('2020-12-31')]);

describe('what a person has still to say', () => {
  it('begins with the files', () => {
    expect(textsOf(emptyDraft)).toEqual(['files: Choose the files first.']);
  });

  it('asks which file holds the primaries', () => {
    const found = source('deaths.csv', [column('patient', ['a', 'b'])]);
    expect(textsOf(smallDraft([{ found, table: 'deaths', fields: { patient_id: from('patient') } }], { settled: confirmed }))).toEqual(['tables: Say which file holds the primary procedures.']);
  });

  it('asks for the order of days that fit two, and no more once it is said', () => {
    const found = source('ops.csv', [column('day', ['03/04/2015', '05/06/2016'], { kind: 'day', dateOrders: ['day-month-year', 'month-day-year'] })]);
    const asked = smallDraft([{ found, table: 'procedures', fields: { procedure_date: from('day') } }], { settled: confirmed });
    expect(textsOf(asked)).toEqual(['columns: Say how the days of Procedure date (Primary procedures, ops.csv) are written.']);
    expect(textsOf(smallDraft([{ found, table: 'procedures', fields: { procedure_date: { ...from('day'), dates: 'month-day-year' } } }], { settled: confirmed }))).toEqual([]);
  });

  it('asks for what is needed and comes from nowhere, at the step where it is said', () => {
    const found = source('ops.csv', [column('key', ['1', '2']), column('day', ['2015-04-03', '2016-06-05'], { kind: 'day', dateOrders: ['year-month-day'] })]);
    const draft = smallDraft([{ found, table: 'procedures', fields: { procedure_id: from('key'), procedure_date: { ...from('day'), dates: 'year-month-day' }, joint: { constant: 'shoulder' } } },
      { found, table: 'revisions', fields: { procedure_id: from('key'), revision_date: { ...from('day'), dates: 'year-month-day' } } }], { settled: confirmed });
    expect(neededPoints(draft, problemsOf(draft)).map(({ step, text }) => `${step}: ${text}`)).toEqual(['columns: Say which column is Kind (Re-operations, ops.csv), or what it is in every record.']);
  });

  it('asks what a code means, until it has one or is left as it is on purpose', () => {
    const found = source('ops.csv', [column('s', ['left', 'L', 'R', 'R', 'x'])]);
    const draft = smallDraft([{ found, table: 'procedures', fields: { side: { ...from('s'), codes: { R: 'right', x: null } } } }], { settled: confirmed });
    expect(textsOf(draft)).toEqual(['codes: One value of Side (Primary procedures, ops.csv) is no code of the dictionary yet.']);
    const [ops] = draft.mapping.sources, [table] = ops!.tables;
    const key = codeKey(keyOf(table!, 'side', table!.fields['side']!), 'L');
    expect(textsOf({ ...draft, settled: new Set([...confirmed, key]) })).toEqual([]);
  });

  it('has an unsure suggestion looked at, again where another column is chosen', () => {
    const found = source('ops.csv', [column('place', ['a']), column('unit', ['b'])]);
    const draft = smallDraft([{ found, table: 'procedures', fields: { hospital_id: from('place') } }], { settled: confirmed });
    const [ops] = draft.mapping.sources, [table] = ops!.tables;
    const key = keyOf(table!, 'hospital_id', from('place'));
    const reasons = { [key]: { path: '', confidence: 'unsure', why: 'Perhaps.' } as const };
    expect(textsOf({ ...draft, reasons })).toEqual(['columns: Look at Hospital identifier (Primary procedures, ops.csv): the suggestion is unsure.']);
    expect(textsOf({ ...draft, reasons, settled: new Set([...confirmed, key]) })).toEqual([]);
  });

  it('has the closing date confirmed, and confirmed anew when it is changed', () => {
    const found = source('ops.csv', [column('key', ['1'])]);
    const draft = smallDraft([{ found, table: 'procedures', fields: { procedure_id: from('key') } }]);
    const confirm = 'extract: Confirm the closing date: follow-up ends there, and every number depends on it.';
    expect(textsOf(draft)).toEqual([confirm]);
    const settled = { ...draft, settled: confirmed };
    expect(textsOf(settled)).toEqual([]);
    const changed = { ...settled.mapping, registry: { ...settled.mapping.registry, closing_date: '2021-12-31' } };
    expect(textsOf({ ...settled, mapping: changed })).toEqual([confirm]);
  });
});
