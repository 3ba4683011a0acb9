import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { UnitsQuestion } from '@/lib/contract/unitsQuestion';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { compareVersions, type VersionChanges } from '@/lib/quality/versions/compareVersions';
import { differencesCsv } from '@/lib/quality/versions/differencesCsv';
import { movedNumbers } from '@/lib/quality/versions/movedNumbers';
import { versionFlags } from '@/lib/screening/units/versionFlags';
import { loadSample } from '../analysis/sampleExtract';
import { load, olderVersion, type Tables } from './altered';

let older: LoadedExtract, newer: LoadedExtract, changes: VersionChanges, tables: Tables, relinked: readonly string[];
beforeAll(async () => {
  ({ tables, relinked } = olderVersion());
  older = await load(tables);
  newer = await loadSample();
  changes = await compareVersions(older, newer);
}, 120_000);
afterAll(async () => {
  await older.database.close();
  await newer.database.close();
});

describe('an older version of the sample without 50 procedures, with 10 other days and 5 re-operations on the other side', () => {
  it('differs in exactly that', () => {
    const { procedures, reoperations, deaths, models } = changes;
    expect([procedures.added, procedures.removed, procedures.newer - procedures.older]).toEqual([50, 0, 50]);
    expect(procedures.fields.map(({ name, changed }) => [name, changed])).toEqual([['procedure_date', 10], ['ending', 10]]); // five joints gain a revision, five lose it
    expect([reoperations.added, reoperations.removed, reoperations.changed]).toEqual([0, 0, 5]);
    expect(reoperations.fields.find(({ name }) => name === 'procedure_id')?.changed).toBe(5);
    for (const { added, removed, changed } of [deaths, models]) expect([added, removed, changed]).toEqual([0, 0, 0]);
  });

  it('names the lines of those re-operations, in the files of each', () => {
    const lines = changes.reoperations.differences.filter(({ field }) => field === 'Procedure it is linked to').map(({ older: place }) => tables.revisions[place!.line - 2]!['revision_id']);
    expect(lines.toSorted()).toEqual(relinked.toSorted());
    expect(differencesCsv(changes).join('')).not.toMatch(/[PRA]\d{4,}/);
  });

  it('tells the numbers of the question from both, and by how much they moved', async () => {
    const { rows, older: was, newer: is } = await movedNumbers(older, newer, openingQuestion);
    expect(is!.procedures - was!.procedures).toBeGreaterThan(0);
    expect(rows.filter(({ what }) => what === 'percent')).toHaveLength(2 * openingQuestion.atYears.length);
    for (const { older: a, newer: b, moved } of rows) if ('value' in a && 'value' in b) expect(moved).toBe(b.value - a.value);
    expect(rows.some(({ moved }) => moved !== 0)).toBe(true);
  });

  it('a hospital is told as classed otherwise only where its class differs', async () => {
    const hospitals = await versionFlags(older, newer, UnitsQuestion.parse({}));
    expect(hospitals).toHaveLength(60);
    for (const { older: a, newer: b, changed } of hospitals) expect(changed).toBe(a?.status !== b?.status);
  });
});

it('a version is the same as itself', async () => {
  const { procedures, reoperations } = await compareVersions(newer, newer);
  for (const { added, removed, changed, differences } of [procedures, reoperations]) expect([added, removed, changed, differences.length]).toEqual([0, 0, 0, 0]);
});

it('models that were given other codes are told from what to what', async () => {
  const recoded = olderVersion().tables;
  for (const table of [recoded.models, recoded.components]) for (const row of table) if (row['model_code'] === 'G-FLU-02') row['model_code'] = 'G-OLD-02';
  const before = await load(recoded), found = await compareVersions(before, newer);
  const model = found.procedures.fields.find(({ label }) => label === 'Model: glenoid component')!;
  expect(model.moves).toEqual([{ from: 'G-OLD-02', to: 'G-FLU-02', count: model.changed }]);
  expect([found.models.added, found.models.removed]).toEqual([1, 1]);
  await before.database.close();
}, 60_000);
