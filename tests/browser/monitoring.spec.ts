import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import type { Page } from '@playwright/test';
import type { Monitoring } from '../../lib/screening/monitoring/monitoringResult';
import { edit, expect, open, test } from './workbench';

async function printed(question: object, ...unit: readonly string[]): Promise<Monitoring> {
  const folder = await mkdtemp(join(tmpdir(), 'monitoring-'));
  try {
    const file = join(folder, 'question.json');
    await writeFile(file, JSON.stringify(question));
    const { stdout } = await promisify(execFile)('npx', ['tsx', 'lib/cli/analyse.ts', '--extract', 'sample-registry/extract', '--monitoring', file, ...unit], { maxBuffer: 256e6 });
    return JSON.parse(stdout) as Monitoring;
  } finally {
    await rm(folder, { recursive: true });
  }
}

async function choose(page: Page, kind: 'Hospital' | 'Model', id: string): Promise<void> {
  await page.getByRole('combobox', { name: kind }).fill(id);
  await page.getByRole('option', { name: id }).click();
  await one(page);
}
const one = (page: Page) => expect(page.locator('.answer[data-about="one"][data-pending="false"]')).toBeVisible({ timeout: 60_000 });

/** At each look: its number, observed, expected, their difference and the chart. */
const looksOnThePage = (page: Page) => page.locator('[data-table="chart-by-look"] tbody tr').evaluateAll((rows) =>
  rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));
const limitOnThePage = (page: Page) => page.locator('[data-table="limit-and-tests"] tbody tr').first().locator('[data-value]').getAttribute('data-value');

function expectSame(found: readonly (readonly number[])[], { looks }: Monitoring): void {
  expect(found).toHaveLength(looks.length);
  looks.forEach(({ observed, expected, value }, i) => {
    [i + 1, observed, expected, observed - expected, value].forEach((wanted, c) => { expect(Math.abs(found[i]![c]! - wanted)).toBeLessThan(1e-9); });
  });
}

test.describe('a quality committee follows a hospital over time', () => {
  test('sees that it signalled, when, and after how many looks; changes the ratio; puts a review on record', async ({ page }) => {
    const usual = printed({}, '--hospital', 'H044'), reviewed = printed({ ratio: 1.5, reviews: ['2013-09-30'] }, '--hospital', 'H044');
    await open(page, './monitoring/');
    await expect(page.locator('.in-words')).toContainText(/60 hospitals have a chart .* signalled at some time\. By chance alone about \d+\.\d would have/);
    await expect(page.locator('[data-table="all-charts"]')).toContainText('a peer');
    await expect(page.locator('#content')).not.toContainText('H044');

    await choose(page, 'Hospital', 'H044');
    await expect(page.locator('.looked-at')).toHaveText('Hospital H044');
    await expect(page.locator('.in-words')).toContainText(/signalled: it was above its limit at the look of 31 March 2013, the 33rd of 80\. The day was 13 February 2013\./);
    await expect(page.locator('.in-words')).toContainText('A signal is a question and no verdict');
    await expect(page.locator('[data-chart="chart-over-time"] [data-signal="S1"]')).toHaveCount(1);
    expectSame(await looksOnThePage(page), await usual);
    expect(Number(await limitOnThePage(page))).toBeCloseTo(((await usual).chart as { limit: { threshold: number } }).limit.threshold, 9);

    await edit(page, 'Ratio', (d) => d.getByLabel('How many times the expected').fill('1.5').then(() => page.keyboard.press('Enter')));
    await expect(page).toHaveURL(/ratio=1\.5/);
    await one(page);
    await page.getByLabel('A review was closed on').fill('2013-09-30');
    await page.getByRole('button', { name: 'Add the review' }).click();
    await expect(page).toHaveURL(/review=2013-09-30/);
    await expect(page.locator('.reviews')).toContainText('R1: 30 September 2013');
    await one(page);
    await expect(page.locator('[data-table="chart-by-look"]')).toContainText('R1 starts again on 30 September 2013');
    expectSame(await looksOnThePage(page), await reviewed);
    expect(page.url()).not.toContain('H044');

    await page.getByRole('button', { name: 'Remove the review of 30 September 2013' }).click();
    await expect(page).not.toHaveURL(/review=/);
    await one(page);
    await page.getByRole('button', { name: 'Look at all units again' }).click();
    await expect(page.locator('.answer[data-about="all"][data-pending="false"]')).toBeVisible({ timeout: 60_000 });
    await page.getByLabel('Show the identifiers of peers, for this session').check();
    await expect(page.locator('[data-table="all-charts"]')).toContainText('H044');
  });

  test('raises a question about the signal', async ({ page }) => {
    await open(page, './monitoring/');
    await choose(page, 'Hospital', 'H032');
    await page.getByRole('button', { name: 'Raise a question about this' }).click();
    await expect(page.getByRole('dialog')).toContainText('hospital H032');
    await expect(page.getByRole('dialog')).toContainText('A signal of the chart over time');
  });
});

test('a model has its chart by its link, and the link is the screen', async ({ page }) => {
  const asked = { kind: 'component', role: 'humeral_stem', model: 'H-SHO-02' };
  const wanted = printed(asked);
  await open(page, './monitoring/?of=component&role=humeral_stem&model=H-SHO-02');
  await expect(page.locator('.looked-at')).toContainText('H-SHO-02');
  await expect(page.locator('.in-words')).toContainText('has signalled');
  expectSame(await looksOnThePage(page), await wanted);
  await page.getByRole('button', { name: 'Look at all models again' }).click();
  await expect(page.locator('[data-table="all-charts"]')).toContainText('H-SHO-02', { timeout: 60_000 });
});

test('an address that names a hospital asks nothing', async ({ page }) => {
  await page.goto('./monitoring/?hospital=H044');
  await expect(page.locator('.problems')).toContainText('“hospital” is not a parameter of the address.');
});
