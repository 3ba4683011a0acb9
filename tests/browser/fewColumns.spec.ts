import type { Page } from '@playwright/test';
import { audit } from './extracts/audit';
import { expect, test } from './workbench';

// A hospital's audit that has a key, a day, a design, and the day of a revision or of the last follow-up: every page says what it can't do.

async function load(page: Page): Promise<void> {
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
  await page.locator('input[type="file"]').first().setInputFiles(audit().map(({ name, text }) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })));
  await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 60_000 });
}

/** By the links of the page: loading another address would let go of what is loaded. */
const goTo = async (page: Page, name: string): Promise<void> => { await page.locator('header').getByRole('link', { name, exact: true }).click(); };
const answered = '.answer[data-pending="false"]';
const askWithout = async (page: Page): Promise<void> => { await page.getByRole('button', { name: 'Ask without it' }).click(); };

test('an audit of four columns: every page answers what it can and says what it can’t', async ({ page }) => {
  const wrong: string[] = [];
  page.on('pageerror', ({ message }) => { wrong.push(message); });
  page.on('console', (message) => { if (message.type() === 'error') wrong.push(message.text()); });
  await load(page);
  for (const sentence of ['No patient is recorded', 'No hospital is recorded', 'No indication is recorded', 'No model is recorded of: glenoid component', 'There is no table of deaths']) {
    await expect(page.locator('[data-loaded="own"]')).toContainText(sentence);
  }

  await goTo(page, 'Compare');
  await expect(page.locator('[data-unrecorded]')).toContainText('class of procedure');
  await expect(page.locator('#content')).toContainText('No procedure of the extract meets these conditions');
  await expect(page.getByRole('row', { name: /Class recorded/ })).toContainText('600');
  await askWithout(page);
  await expect(page.locator('[data-unrecorded]')).toHaveCount(0);
  await expect(page.locator(answered)).toContainText('Cumulative percent revision', { timeout: 60_000 });
  await expect(page.locator('.notes')).toContainText(/No patient is recorded|of a patient of its own/);
  await expect(page.locator('#groups')).toContainText('not recorded');
  await expect(page.locator('[data-chapter="precision"]')).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('#content')).toContainText('No hospital is recorded.');
  await page.getByRole('button', { name: /^Adjusted for:/ }).click();
  await expect(page.getByRole('dialog', { name: 'Adjusted for' })).toContainText('not recorded');
  await page.keyboard.press('Escape');

  await goTo(page, 'Our unit');
  await expect(page.locator('#content')).toContainText('No hospital and no surgeon is recorded in this extract', { timeout: 60_000 });
  await expect(page.locator(answered)).toContainText('No hospital is recorded of the procedures that meet these conditions: hospitals can’t be compared.');

  await goTo(page, 'Screening');
  await expect(page.locator(answered)).toContainText('has a component of which both model and design class are recorded', { timeout: 60_000 });

  await goTo(page, 'Over time');
  await expect(page.locator(answered)).toContainText('hospitals can’t be compared', { timeout: 60_000 });

  for (const name of ['Review', 'Plan', 'Dictionary', 'Method']) {
    await goTo(page, name);
    await expect(page.locator('#content h1').first()).toBeVisible();
  }
  await goTo(page, 'Data');
  await page.getByRole('link', { name: 'Quality', exact: true }).click();
  await expect(page.locator('.quality[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
  expect(wrong).toEqual([]);
});
