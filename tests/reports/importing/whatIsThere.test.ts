import { describe, expect, it } from 'vitest';
import type { FieldSource } from '../../../lib/contract/mapping';
import { whatIsThere } from '../../../lib/reports/importing/whatIsThere';
import { smallDraft, source } from './smallDraft';

const fields = (...names: readonly string[]): Readonly<Record<string, FieldSource>> => Object.fromEntries(names.map((name) => [name, { column: name, missing: [] }]));

describe('the least that answers a question', () => {
  const ops = (names: readonly string[]) => ({ found: source('ops.csv', []), table: 'procedures' as const, fields: fields(...names) });

  it('is a key, a day, a joint, something to group by, and how follow-up ended', () => {
    expect(whatIsThere(smallDraft([ops(['procedure_id', 'procedure_date', 'joint', 'class', 'follow_up_end'])])).isEnough).toBe(true);
  });

  it.each([
    ['procedure_id', 'a key of each procedure'], ['procedure_date', 'its day'], ['joint', 'its joint'], ['follow_up_end', 'the day of re-operations, or the last day of follow-up'],
  ])('without %s it is not enough', (left, words) => {
    const { isEnough, missing } = whatIsThere(smallDraft([ops(['procedure_id', 'procedure_date', 'joint', 'class', 'follow_up_end'].filter((name) => name !== left))]));
    expect(isEnough).toBe(false);
    expect(missing).toEqual([words]);
  });

  it('is told of a table with a day of revision alone: whether a component was changed, or that it is not known', () => {
    const again = (kind: Readonly<Record<string, FieldSource>>) => whatIsThere(smallDraft([ops(['procedure_id', 'procedure_date', 'joint', 'class']), { found: source('again.csv', []), table: 'revisions', fields: { ...fields('revision_date'), ...kind } }]));
    expect(again({}).missing).toEqual(['whether a re-operation changed a component']);
    expect(again({}).without.join(' ')).not.toContain('kind of re-operation');
    const unknown = again({ kind: { constant: 'unspecified' } });
    expect([unknown.isEnough, unknown.without.filter((words) => words.includes('kind of re-operation')).length]).toEqual([true, 1]);
  });

  it('says what pages can’t say without the rest', () => {
    const { without } = whatIsThere(smallDraft([ops(['procedure_id', 'patient_id', 'side', 'procedure_date', 'joint', 'class', 'age_years', 'sex', 'indication', 'hospital_id']),
      { found: source('again.csv', []), table: 'revisions', fields: fields('procedure_id', 'revision_date', 'kind') }]));
    expect(without).toEqual([
      'Without reasons, no page can say why joints were revised.',
      'Without components, designs and models can’t be compared or screened.',
      'Without deaths, patients count as at risk until the closing date, and what happens as patients live can’t be said.',
    ]);
  });
});
