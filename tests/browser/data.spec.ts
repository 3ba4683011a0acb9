import { readFile } from 'node:fs/promises';
import type { Page } from '@playwright/test';
import { smallExtract, type SmallExtract } from '../engine/smallExtract';
import { answered, expect, open, test } from './workbench';

/** Chooses files as a person would. */
async function choose(page: Page, files: readonly { readonly name: string; readonly text: string | Buffer }[]): Promise<void> {
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
  await page.locator('input[type="file"]').first().setInputFiles(files.map(({ name, text }) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })));
}

const textsOf = async (extract: SmallExtract) =>
  Promise.all(smallExtract(extract).map(async ({ name, content }) => ({ name, text: await content.text() })));

const three: SmallExtract = {
  registry: [{ name: '<b>Harbour</b> registry' }],
  procedures: [
    { procedure_id: 'p1', patient_id: 'a' }, { procedure_id: 'p2', patient_id: 'b' },
    { procedure_id: 'p3', patient_id: 'c', procedure_date: '2010-02-30' },
  ],
  components: [{ procedure_id: 'p1' }, { procedure_id: 'p2' }, { procedure_id: 'p3' }],
  revisions: [{ revision_id: 'r1', procedure_id: 'p1', patient_id: 'a', revision_date: '2012-01-01' }],
};

test('a department loads its own extract: every record is accounted for, and what was set aside can be taken away', async ({ page }) => {
  await choose(page, await textsOf(three));
  await expect(page.getByRole('heading', { name: 'Loaded: <b>Harbour</b> registry' })).toBeVisible();
  const procedures = page.locator('[data-table="records"] tbody tr').filter({ hasText: 'procedures.csv' });
  expect(await procedures.locator('[data-value]').evaluateAll((cells) => cells.map((cell) => cell.getAttribute('data-value')))).toEqual(['3', '2', '1', '0']);
  await expect(page.locator('[data-table="rules-that-failed"]')).toContainText('Not a calendar day written as YYYY-MM-DD');
  await expect(page.locator('[data-table="rules-that-failed"]')).toContainText('line 4: 2010-02-30');
  await page.getByRole('button', { name: /Download every record/ }).click();
  const confirmed = page.getByRole('alertdialog');
  await expect(confirmed).toContainText('record by record');
  const [download] = await Promise.all([page.waitForEvent('download'), confirmed.getByRole('button', { name: 'Download it' }).click()]);
  const rows = await readFile(await download.path(), 'utf8');
  expect(rows).toContain('procedures,procedures.csv,4,procedure_date');
  expect(rows).not.toContain('p3');

  await page.getByRole('link', { name: 'Compare' }).click();
  await answered(page);
  await expect(page.locator('.answer')).toContainText('<b>Harbour</b> registry, version 1');
  await page.getByRole('link', { name: 'Data' }).click();
  await page.getByRole('button', { name: 'Go back to the sample registry' }).click();
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
});

test.describe('an extract that cannot be loaded leaves the registry that is', () => {
  const html = '<!doctype html><html><body>Sign in</body></html>';
  const latin1 = Buffer.from('procedure_id,patient_id\np1,M\u00fcller\n', 'latin1');
  for (const { what, files, message } of [
    { what: 'a web page saved as a table', files: [{ name: 'procedures.csv', text: html }], message: /procedures\.csv/ },
    { what: 'text in another encoding', files: [{ name: 'procedures.csv', text: latin1 }], message: /procedures\.csv/ },
    { what: 'something else altogether', files: [{ name: 'holiday.txt', text: 'sun' }], message: /no file for the table procedures/ },
    { what: 'an empty file', files: [{ name: 'procedures.csv', text: '' }], message: /procedures\.csv/ },
  ]) {
    test(what, async ({ page }) => {
      const others = (await textsOf(three)).filter(({ name }) => name !== 'procedures.csv' && files[0]?.name === 'procedures.csv');
      await choose(page, [...files, ...others]);
      await expect(page.locator('.problems')).toContainText(message);
      await expect(page.locator('.problems')).toContainText('stays loaded');
      await expect(page.locator('[data-loaded="sample"]')).toBeVisible();
      await page.getByRole('link', { name: 'Compare' }).click();
      await answered(page);
      await expect(page.locator('.in-words')).toContainText('had been revised');
    });
  }
});

test('tables and figures go out with where they came from, and without small counts', async ({ page }) => {
  await open(page, './?compare=design&class=anatomic_total&group=all_poly_pegged&group=all_poly_keeled&age-to=56&horizon=5&at=0.25&at=5');
  const save = async (name: string) => {
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name }).first().click()]);
    return { name: download.suggestedFilename(), text: await readFile(await download.path(), 'utf8') };
  };
  const table = await save('Download as CSV: Cumulative percent revision');
  expect(table.name).toBe('cumulative-percent-revision.csv');
  expect(table.text).toMatch(/# Question: Among anatomic total replacements of the shoulder .* aged up to 56/);
  expect(table.text).toMatch(/# Source: Tervania .* closing date 2024-12-31, SHA-256 [0-9a-f]{64}/);
  const revised = page.locator('[data-table="cumulative-percent-revision"] tbody tr').first().locator('td').nth(2);
  const early = Number(await revised.getAttribute('data-value'));
  expect(early, 'the question is chosen so that few are revised at three months').toBeLessThan(5);
  expect(early).toBeGreaterThan(0);
  expect(table.text).toMatch(/^3 months,[^,]*,\d+,<5,withheld,withheld,withheld/m);
  const drawing = await save('Download as SVG: Cumulative percent revision');
  expect(drawing.text).toContain('All-polyethylene keeled');
  expect(drawing.text).toMatch(/<desc[^>]*>Question: /);
  expect(drawing.text).not.toContain('var(--');
});

test('in print the curves have a fixed size, nothing is cut off, and small counts are withheld', async ({ page }) => {
  await open(page, './?compare=design&class=anatomic_total&group=all_poly_pegged&group=all_poly_keeled&age-to=56&at=0.25&at=5');
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 680, height: 1000 }); // A4 between the margins, in CSS pixels
  for (const drawing of ['.curves .paper svg', '.calendar.paper svg']) {
    const box = await page.locator(drawing).first().boundingBox();
    expect(box?.width).toBe(660);
    expect(box?.x).toBeGreaterThanOrEqual(0);
    expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual(680);
  }
  await expect(page.locator('.curves .screen')).toBeHidden();
  await expect(page.locator('[data-table="cumulative-percent-revision"] .outside').first()).toHaveText('<5');
  await expect(page.locator('[data-table="cumulative-percent-revision"] .inside').first()).toBeHidden();
  expect((await page.pdf({ format: 'A4', preferCSSPageSize: true })).length).toBeGreaterThan(50_000);
});
