import { readFile } from 'node:fs/promises';
import { csvOf, olderVersion } from '../quality/altered';
import { expect, test } from './workbench';

test('the person who answers for the extract reads its quality, looks up re-operations, and compares it with an older version', async ({ page }) => {
  test.setTimeout(240_000); // two loads
  await page.goto('./data/quality/');
  await expect(page.locator('.quality[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('#in-words')).toContainText('99.6% of the re-operations were linked');
  await expect(page.locator('[data-table="completeness-by-year"] tbody tr').first()).toContainText('ASA grade');
  await expect(page.locator('[data-table="completeness-by-hospital"]')).not.toContainText('H001');
  await expect(page.locator('[data-table="patterns-asked"]')).toContainText('First revisions on the day of the primary');

  const rows = page.locator('.linkage-rows');
  await expect(rows).toContainText('1–20 of 2,843');
  await expect(rows.locator('tbody tr').first()).toContainText('by the procedure it names');
  await rows.getByRole('button', { name: 'Later rows' }).click();
  await expect(rows).toContainText('21–40 of 2,843');
  await rows.getByRole('button', { name: /Download all rows/ }).click();
  const [list] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download it' }).click()]);
  const text = await readFile(await list.path(), 'utf8');
  expect(text.trimEnd().split('\r\n')).toHaveLength(2844);
  expect(text).toMatch(/^revisions\.csv,\d+,not linked,procedures\.csv,\d+,set aside,before_procedure,/m);
  expect(text).not.toMatch(/[PRA]\d{5,}/);

  const [csv] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Download as CSV: Share recorded by hospital, %' }).click()]);
  expect(await readFile(await csv.path(), 'utf8')).not.toMatch(/H\d{3}/);
  await page.getByRole('checkbox', { name: /Show hospitals and surgeons/ }).check();
  await expect(page.locator('[data-table="completeness-by-hospital"]')).toContainText('H001');

  const { tables } = olderVersion();
  await page.locator('.versions input[type="file"]').first().setInputFiles(Object.entries(tables).map(([name, of]) => ({ name: `${name}.csv`, mimeType: 'text/csv', buffer: Buffer.from(csvOf(of)) })));
  await expect(page.locator('[data-versions="compared"]')).toBeVisible({ timeout: 120_000 });
  await expect(page.locator('#versions')).toContainText('Procedures: 50 are new, 0 are gone, 20 changed.');
  await expect(page.locator('#versions')).toContainText('Re-operations: 0 are new, 0 are gone, 5 changed, 5 of them linked to another procedure.');
  await expect(page.locator('[data-table="versions-numbers"] tbody tr').first()).toContainText('Percent revised at 1 year');
  await page.getByRole('link', { name: 'Loaded' }).click();
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible(); // never replaced
});

test('an older version that cannot be read leaves the loaded extract as it is', async ({ page }) => {
  await page.goto('./data/quality/');
  await expect(page.locator('.quality[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
  await page.locator('.versions input[type="file"]').first().setInputFiles([{ name: 'holiday.txt', mimeType: 'text/plain', buffer: Buffer.from('sun') }]);
  await expect(page.locator('.versions .problems')).toContainText('The loaded extract stays as it is');
  await expect(page.locator('#in-words')).toContainText('39,985 procedures were kept');
});
