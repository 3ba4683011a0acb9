import type { Page } from '@playwright/test';
import type { ComponentExplained } from '../../lib/screening/components/explainedResult';
import type { ComponentsAnalysis, FittedRatio } from '../../lib/screening/components/screeningResult';
import { printedFor } from './commandLine';
import { answered, edit, expect, open, test } from './workbench';

// A quality committee screens the sample registry, in which two models were planted that are revised two and a half times as often as others.

const ratioRow = (page: Page, row: string) => page.locator(`#flagged [data-forest="adjusted-ratios"] tr[data-row="${row}"]`);
const drawn = (page: Page, row: string) => ratioRow(page, row).evaluate((element) => ['hr', 'lower', 'upper', 'p'].map((key) => Number((element as HTMLElement).dataset[key])));
const values = (page: Page, table: string) => page.locator(`[data-table="${table}"] tbody tr`).evaluateAll((rows) =>
  rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));
const rowOf = (page: Page, table: string, text: string) => page.locator(`[data-table="${table}"] tbody tr`).filter({ hasText: text });
const expectClose = (found: readonly number[], wanted: readonly number[]) => {
  expect(found).toHaveLength(wanted.length);
  found.forEach((value, i) => { expect(Math.abs(value - wanted[i]!)).toBeLessThanOrEqual(1e-10 * Math.abs(wanted[i]!)); });
};

test('both planted models are flagged and stand, with every bound in view and the numbers of the command line', async ({ page }) => {
  const printed = printedFor('--screening', {});
  await open(page, './screening/');
  await expect(page.locator('.criteria')).toContainText('this project’s own choices and no standard');
  await expect(page.getByLabel('Flagged from this ratio to the others')).toHaveValue('1.5');
  await expect(page.locator('#in-words')).toContainText('Of 82 models in use, 82 could be assessed');
  await expect(page.locator('#in-words')).toContainText('Glenoid component G-FLU-02 and humeral component H-SHO-02 are flagged');
  await expect(page.locator('#in-words')).toContainText('that stands for each');
  const { models, adjusted } = await printed as ComponentsAnalysis;
  expect(adjusted.map(({ place }) => models[place]!.model)).toEqual(['G-FLU-02', 'H-SHO-02']);
  for (const { place, comparison } of adjusted) {
    const key = models[place]!.model, { ratio } = comparison.adjusted as FittedRatio, { value, lower, upper } = ratio.estimate as { value: number; lower: number; upper: number };
    expectClose(await drawn(page, `${key}:adjusted`), [value, lower, upper, ratio.p]);
    await expect(ratioRow(page, `${key}:withinHospitals`)).toBeVisible();
    await expect(ratioRow(page, `${key}:withoutLargestUser`)).toBeVisible();
  }
  // of each model the bound and what was found, condition by condition
  const wanted = adjusted.flatMap(({ place, comparison }) => [...models[place]!.criteria, ...comparison.criteria].map(({ bound, value }) => [bound, value]));
  expectClose((await values(page, 'criteria')).flat(), wanted.flat());
  await page.locator('summary', { hasText: 'Models that passed' }).click();
  await expect(page.locator('[data-table="passed"] tbody tr')).toHaveCount(80);
});

test('the flagged model is left out of what others are held against, and taken in again', async ({ page }) => {
  await open(page, './screening/');
  const ratio = async () => {
    await page.locator('summary', { hasText: 'Models that passed' }).click();
    const cells = await rowOf(page, 'passed', 'G-FLU-01').locator('[data-value]').evaluateAll((all) => all.map((cell) => Number((cell as HTMLElement).dataset['value'])));
    return cells[5]!;
  };
  const among = await ratio();
  await page.getByRole('checkbox', { name: 'G-FLU-02' }).check();
  await expect(page).toHaveURL(/without=G-FLU-02/);
  await expect(page.getByRole('button', { name: /^Models left out: G-FLU-02/ })).toBeVisible();
  await answered(page);
  await expect(page.locator('#in-words')).toContainText('G-FLU-02 and humeral component H-SHO-02 are flagged');
  await page.locator('summary', { hasText: 'Models that passed' }).click();
  expect(await ratio()).toBeGreaterThan(among * 1.2);
  await page.getByRole('checkbox', { name: 'G-FLU-02' }).uncheck();
  await expect(page).not.toHaveURL(/without/);
});

test('the next look carries the flags forward, and an earlier signal stays listed although the model passes now', async ({ page }) => {
  await open(page, './screening/');
  await page.getByRole('button', { name: 'Carry these flags forward to look 2' }).click();
  await expect(page).toHaveURL(/look=2/);
  await answered(page);
  await expect(page.locator('.answer > .source')).toContainText('Look 2');
  await expect(page.locator('.notes').first()).toContainText('This is look 2');
  const picker = page.getByRole('group', { name: 'Earlier signals' }).getByRole('combobox', { name: 'Model' });
  await picker.click();
  await picker.pressSequentially('G-BAS-03');
  await page.getByRole('option', { name: 'G-BAS-03' }).click();
  await page.getByRole('button', { name: 'Carry it forward' }).click();
  await expect(page).toHaveURL(/earlier=1%3AG-BAS-03/);
  await answered(page);
  await expect(rowOf(page, 'carried-forward', 'G-BAS-03')).toContainText('passed now; flagged at look 1');
  await expect(rowOf(page, 'carried-forward', 'H-SHO-02')).toContainText('flagged now; flagged at look 1; stands adjusted');
  await page.goBack();
  await answered(page);
  await expect(page.locator('[data-table="carried-forward"]')).not.toContainText('G-BAS-03');
});

test('a stricter bound is part of the run and of its address; a bound that makes no sense is refused with the reason', async ({ page }) => {
  await open(page, './screening/');
  const bound = page.getByLabel('Flagged from this ratio to the others');
  await bound.fill('2.5');
  await bound.blur();
  await expect(page).toHaveURL(/ratio=2.5/);
  await answered(page);
  await expect(page.locator('#in-words')).toContainText('None is flagged');
  await expect(page.locator('#cautions')).toContainText('2.50 times the others’ rate');
  await edit(page, 'Horizon', async (dialog) => {
    await dialog.getByRole('textbox').fill('1');
    await dialog.getByRole('textbox').blur();
    await expect(dialog.getByRole('alert')).toContainText('atRiskYears must not be beyond horizonYears');
  });
});

test('a flagged model is looked into: its users, partners and reasons, then the whole comparison', async ({ page }) => {
  const printed = printedFor('--screening', {}, '--model', 'H-SHO-02');
  await open(page, './screening/');
  await page.getByRole('button', { name: 'Look into humeral component H-SHO-02' }).click();
  await expect(page).toHaveURL(/model=H-SHO-02/);
  const explained = page.locator('.explained[data-pending="false"]');
  await expect(explained).toContainText('Humeral component H-SHO-02', { timeout: 60_000 });
  const { whole, concentration, drivers, partners, comparison } = await printed as ComponentExplained;
  const numbersOf = ({ procedures, observed, expected, excess, ratio }: typeof whole) => { const { value, lower, upper } = ratio as { value: number; lower: number; upper: number }; return [procedures, observed, expected, excess, value, lower, upper]; };
  const users = await values(page, 'concentration');
  expectClose(users.map((row) => row.slice(0, 7)).flat(), [whole, ...concentration.flatMap(({ largest, elsewhere }) => [largest, elsewhere])].flatMap(numbersOf));
  expectClose((await values(page, 'by-reason')).flat(), drivers[0]!.levels.flatMap((level) => [...numbersOf(level), level.peersPercent]));
  await explained.getByText('With which glenoid component it was used').first().click();
  expect(partners[0]!.flagged).toEqual(['G-FLU-02']);
  await expect(rowOf(page, 'with-glenoid', 'G-FLU-02')).toContainText('yes');
  await explained.locator('summary', { hasText: /^Hospital$/ }).click();
  await expect(page.locator('[data-table="by-hospital"]')).toContainText('a hospital');
  await expect(page.locator('[data-table="by-hospital"]')).not.toContainText(/H0\d\d/);
  await page.getByRole('checkbox', { name: /Show the identifiers/ }).check();
  await expect(page.locator('[data-table="by-hospital"]')).toContainText(/H0\d\d/);
  await expect(page.getByRole('button', { name: 'Raise a question about this' })).toBeVisible();
  await expect(page.getByRole('link', { name: 'Its revisions over calendar time' })).toHaveAttribute('href', /monitoring\/\?of=component.*model=H-SHO-02/);
  expect(page.url()).not.toMatch(/H0\d\d|S0\d\d\d/);
  await page.getByRole('link', { name: 'The whole comparison with all others of its kind' }).click();
  await answered(page);
  await expect(page.locator('#groups')).toContainText('All others');
  const { value } = (comparison.adjusted as FittedRatio).ratio.estimate as { value: number };
  expectClose([Number(await page.locator('[data-table="forest"] tr[data-hr]').first().getAttribute('data-hr'))], [value]);
});
