import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Package } from 'datapackage';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { dataPackage } from '../../lib/contract/dataPackage';
import { PackageFile } from '../../lib/contract/packageFile';
import { csv } from '../engine/smallExtract';

// Checked against the standard's own library: `datapackage` 1.1.10 by Frictionless Data (npm), which carries the profiles of version 1.

const folder = mkdtempSync(join(tmpdir(), 'package-'));
afterAll(() => { rmSync(folder, { recursive: true }); });
let frictionless: Package;
beforeAll(async () => {
  const patient = (id: string) => ({ procedure_id: id, patient_id: `of-${id}` });
  writeFileSync(join(folder, 'procedures.csv'), csv('procedures', [
    patient('p2'), { ...patient('p3'), bmi: 27.5, asa_grade: 3, follow_up_end: '2015-01-01' }, { ...patient('p4'), age_years: 199 },
    { ...patient('p5'), sex: 'f' }, { ...patient('p6'), procedure_date: '01.03.2011' }, { ...patient('p7'), bmi: '27,5' }, { ...patient('p8'), side: null },
    { ...patient('p9'), patient_id: 'x'.repeat(65) }]));
  writeFileSync(join(folder, 'revisions.csv'), csv('revisions', [
    { revision_id: 'r2', procedure_id: 'p2', patient_id: 'of-p2', revision_date: '2011-01-01', reasons: 'pain;infection' },
    { revision_id: 'r3', procedure_id: 'p2', patient_id: 'of-p2', revision_date: '2012-01-01', reasons: 'pain;bad luck' },
    { revision_id: 'r4', procedure_id: null, patient_id: 'of-p2', revision_date: '2012-01-01', reasons: null, components_removed: 'glenoid' }]));
  frictionless = await Package.load(dataPackage(), { basePath: folder, strict: false });
});

it('is a valid Tabular Data Package', () => {
  expect([frictionless.valid, frictionless.errors.map(({ message }) => message)]).toEqual([true, []]);
});

it.each([
  ['procedures', [4, 5, 6, 7, 9]], // age, sex, date, decimal comma, too long a key; a side may be left out
  ['revisions', [3]], // a reason that is none
])('a reader of the standard finds the lines of %s at fault that loading finds: %s', async (table, lines) => {
  const rows = await frictionless.getResource(table).iter({ forceCast: true });
  const found: number[] = [];
  let line = 1;
  for await (const row of rows) {
    line++;
    if (row instanceof Error) found.push(line);
  }
  expect(found).toEqual(lines);
});

it('loading reads its own description', () => {
  expect(PackageFile.parse(dataPackage()).resources.map(({ name, path }) => [name, path])).toContainEqual(['procedures', 'procedures.csv']);
});

it('sample-registry/datapackage.json is what the contract says (else: npm run dictionary)', () => {
  const file = new URL('../../sample-registry/datapackage.json', import.meta.url);
  expect(readFileSync(file, 'utf8')).toBe(`${JSON.stringify(dataPackage(), null, 2)}\n`);
});
