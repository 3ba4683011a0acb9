import { readFile } from 'node:fs/promises';
import type { Locator, Page } from '@playwright/test';
import { extract } from '../../sample-registry/scenario';
import { answer, bring, load, openAssistant } from './assistant';
import { foreignCodes } from './extracts/foreignWords';
import { foreignTables } from './extracts/shapes';
import { shoulderTruth } from './extracts/truth';
import { keepHere, unlock } from './vault';
import { expect, test } from './workbench';

// What was mapped once is read again later: as an older version, and out of what is kept.

const truth = shoulderTruth({ procedures: 1500, seed: 8 });
const registry = { name: 'Harbour registry', version: '2024', opened: extract.opened, closing: extract.closingDate, deathsClosing: extract.deathsClosingDate };
const codes = Object.fromEntries(Object.entries(foreignCodes).map(([code, own]) => [own, code]));
const lastBefore = '2020';

const saved = async (page: Page, button: Locator): Promise<string> => {
  const [download] = await Promise.all([page.waitForEvent('download'), button.click()]);
  return readFile(await download.path(), 'utf8');
};

/** Loads the files through the assistant, and gives back the mapping as it was saved. */
async function mapAndLoad(page: Page): Promise<string> {
  await openAssistant(page);
  await bring(page, foreignTables(truth));
  await answer(page, { registry, joint: 'shoulder', dayOrder: 'day-month-year', codes });
  const mapping = await saved(page, page.getByRole('button', { name: 'Save the mapping' }));
  await load(page);
  return mapping;
}

test('an older version in a form of its own is compared with the mapping that was saved with it, and refused without', async ({ page }) => {
  test.slow();
  const older = JSON.parse(await mapAndLoad(page)) as { readonly registry: object };
  const before = { ...older, registry: { ...older.registry, version: '2019' } };
  const isOld = (row: Record<string, unknown>): boolean => String(row['procedure_date']) < lastBefore, count = truth.procedures.filter(isOld).length;
  const files = foreignTables(truth, { only: isOld }).map((file) => ({ ...file }));

  await page.getByRole('link', { name: 'Quality', exact: true }).click();
  await expect(page.locator('.quality[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
  const versions = page.locator('.versions'), choose = versions.locator('input[type="file"]').first();
  await choose.setInputFiles(files);
  await expect(versions.locator('.problems')).toContainText('The loaded extract stays as it is');
  await choose.setInputFiles([...files, { name: 'mapping.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(before)) }]);
  await expect(page.locator('[data-versions="compared"]')).toBeVisible({ timeout: 120_000 });
  await expect(versions.locator('.source').first()).toContainText('2019');
  const number = new Intl.NumberFormat('en');
  await expect(page.locator('#versions')).toContainText(`Procedures: ${number.format(truth.procedures.length - count)} are new, 0 are gone, 0 changed.`);
  await page.getByRole('link', { name: 'Loaded' }).click();
  await expect(page.locator('[data-loaded="own"]')).toContainText('2024'); // never replaced
});

test('an extract that came with a mapping is kept with it and loads to the same again; the mapping is kept too and can be saved as a file', async ({ page }) => {
  test.slow();
  const mapping = await mapAndLoad(page);
  await page.getByRole('link', { name: 'Loaded' }).click();
  const fingerprint = page.locator('.facts dd').last(), before = await fingerprint.innerText(), section = page.locator('#keep');
  await section.getByLabel(/The mapping of columns and codes/).check();
  await keepHere(page);

  await page.goto('./method/');
  await unlock(page);
  await page.getByRole('link', { name: 'What is kept' }).click();
  await expect(page.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });
  expect(await fingerprint.innerText()).toBe(before);
  await expect(section).toContainText('The extract that is loaded is the one that is kept: Harbour registry, version 2024');
  expect(JSON.parse(await saved(page, section.getByRole('button', { name: 'Save the kept mapping as a file' })))).toEqual(JSON.parse(mapping));
});
