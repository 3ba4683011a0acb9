import { readFile } from 'node:fs/promises';
import { extract } from '../../sample-registry/scenario';
import { answer, bring, fieldOf, load, openAssistant } from './assistant';
import { seriousViolations } from './axe';
import { foreignCodes } from './extracts/foreignWords';
import { foreignTables, type BroughtFile } from './extracts/shapes';
import { shoulderTruth } from './extracts/truth';
import { expect, test } from './workbench';

const truth = shoulderTruth({ procedures: 2000, seed: 5 });
const registry = { name: 'Harbour registry', version: '2024', opened: extract.opened, closing: extract.closingDate, deathsClosing: extract.deathsClosingDate };
const codes = Object.fromEntries(Object.entries(foreignCodes).map(([code, own]) => [own, code]));
const textFile = (name: string, text: string): BroughtFile => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) });

/** A registry of twelve shoulders in one table; every day fits two orders, but the last fits one. */
const ambiguous = (lastDay: string): BroughtFile => textFile('shoulders.csv', [
  'procedure_id,procedure_date,side,class,revision_date',
  ...Array.from({ length: 11 }, (_, i) => `K${i},0${1 + i % 6}/0${1 + i % 7}/2015,left,hemi,${i === 3 ? '05/04/2019' : ''}`),
  `K11,${lastDay},right,hemi,`,
].join('\n'));

test('the order of days is asked with a day of the file, nothing is chosen beforehand, and a wrong answer is told', async ({ page }) => {
  await openAssistant(page);
  await bring(page, [ambiguous('02/03/2015')]);
  const day = fieldOf(page, 'Primary procedures', 'procedure_date');
  await expect(day.locator('legend')).toHaveText(/^Is \d\d\/\d\d\/2015 \d+ \w+ 2015 or \d+ \w+ 2015\?$/);
  await expect(day.getByRole('radio', { checked: true })).toHaveCount(0);
  await expect(page.getByRole('button', { name: 'Load the extract' })).toBeDisabled();
  await day.getByRole('radio', { name: /^month-day-year/ }).check();
  await expect(page.locator('#load')).not.toContainText('Say how the days of Procedure date');
  // the file as it is today: one more look shows that the answer can't be right
  await bring(page, [ambiguous('25/03/2015')]);
  await expect(day).toContainText(/can’t all be read as month, day, year; those will be set aside/);
  await expect(page.locator('#load')).toContainText(/can’t all be read as month, day, year/);
});

test('a mapping is saved without any record, used on the next extract, and what no longer fits is listed', async ({ page }) => {
  test.slow();
  const early = foreignTables(truth, { only: (row) => String(row['procedure_date']) < '2020' });
  await openAssistant(page);
  await bring(page, early);
  await answer(page, { registry, joint: 'shoulder', dayOrder: 'day-month-year', codes });
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save the mapping' }).click()]);
  const saved = await readFile(await download.path());
  expect(saved.toString()).not.toMatch(/P0000|A0000/);
  expect(saved.toString()).not.toMatch(/\d\d\.\d\d\.\d{4}/);

  await page.getByRole('button', { name: 'Start again with other files' }).click();
  await page.locator('.mapping-file input[type="file"]').setInputFiles({ name: 'mapping.json', mimeType: 'application/json', buffer: saved });
  await expect(page.getByText('mapping.json is in use.')).toBeVisible();
  await bring(page, foreignTables(truth));
  await expect(page.locator('.code-rows > li[data-state="asked"]'), 'codes are known').toHaveCount(0);
  await expect(page.locator('.day-order.asked'), 'the order of days is known').toHaveCount(0);
  await answer(page, { registry: { ...registry, version: '2025' } });
  await load(page);
  await expect(page.locator('#load [data-loaded="own"]')).toContainText('2025');
  const read = page.locator('#load [data-table="records"] tbody tr').filter({ hasText: 'Procedures' }).locator('[data-value]').first();
  await expect(read).toHaveAttribute('data-value', String(truth.procedures.length));

  // the year after, a column has another name
  await bring(page, foreignTables(truth).map((file) => (file.name.startsWith('Ersteingriffe') ? { ...file, buffer: Buffer.from(file.buffer.toString('latin1').replace('Geschlecht', 'Gender'), 'latin1') } : file)));
  await expect(page.locator('#load')).toContainText('Ersteingriffe.csv has no column Geschlecht');
  await expect(page.getByRole('button', { name: 'Load the extract' })).toBeDisabled();
});

test('a mapping that is wrong is refused with its place, and what was said stays', async ({ page }) => {
  await openAssistant(page);
  await bring(page, [ambiguous('02/03/2015')]);
  await page.locator('.mapping-file input[type="file"]').setInputFiles({ name: 'mapping.json', mimeType: 'application/json', buffer: Buffer.from('{"mapping":1,"registry":{},"sources":[{"file":"a.csv","tables":[{"table":"procedures","fields":{"colour":{"constant":"red"}}}]}]}') });
  await expect(page.locator('.problems')).toContainText('source 1, table 1, field colour: the table procedures has no field colour.');
  await expect(page.locator('[data-source="shoulders.csv"]')).toBeVisible();
});

test('a file that cannot be read is named, the others and the registry that is loaded stay', async ({ page }) => {
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
  await page.getByRole('link', { name: 'Bring your own' }).click();
  await bring(page, [ambiguous('02/03/2015'), { name: 'damaged.parquet', mimeType: 'application/octet-stream', buffer: Buffer.from('PAR1 and no more') }]);
  await expect(page.locator('.problems')).toContainText('damaged.parquet');
  await expect(page.locator('[data-source="shoulders.csv"]')).toBeVisible();
  await page.getByRole('link', { name: 'Loaded' }).click();
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible();
});

test('a file that was chosen can be taken away again, with all that was said of it', async ({ page }) => {
  await openAssistant(page);
  await bring(page, [ambiguous('02/03/2015'), textFile('deaths.csv', 'patient_id,death_date\na,2016-05-04\n')]);
  await expect(page.locator('[data-source]')).toHaveCount(2);
  await page.getByRole('button', { name: 'Remove deaths.csv' }).click();
  await expect(page.locator('[data-source]')).toHaveCount(1);
  await expect(page.locator('#load')).not.toContainText('deaths.csv');
});

test('markup and formulas in names and cells are text', async ({ page }) => {
  const trap = '<img src=x onerror="document.title=\'owned\'">';
  const quoted = `"${trap.replaceAll('"', '""')}"`;
  await openAssistant(page);
  await bring(page, [textFile('trap.csv', [`procedure_id,procedure_date,side,class,${quoted}`, ...Array.from({ length: 8 }, (_, i) => `=SUM(A${i}),2015-03-${10 + i},left,${quoted},x`)].join('\n'))]);
  const source = page.locator('[data-source="trap.csv"]');
  await source.getByText('The first rows').click();
  await expect(source.getByRole('columnheader', { name: 'onerror' })).toHaveText(trap);
  await expect(source.getByRole('cell', { name: '=SUM(A0)' })).toBeVisible();
  await expect(page.locator('.code-rows .value').filter({ hasText: 'onerror' })).toHaveText(trap);
  expect(await page.locator('#content img').count()).toBe(0);
  expect(await page.title()).not.toContain('owned');
});

for (const { colorScheme, width } of [{ colorScheme: 'light', width: 1440 }, { colorScheme: 'dark', width: 390 }] as const) {
  test.describe(`in ${colorScheme} colours, ${width} pixels wide`, () => {
    test.use({ colorScheme, viewport: { width, height: 900 } });
    test('all steps are accessible and need no scrolling sideways', async ({ page }) => {
      await openAssistant(page);
      await bring(page, foreignTables(truth));
      expect(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth)).toBe(true);
      expect(await seriousViolations(page)).toEqual([]);
    });
  });
}
