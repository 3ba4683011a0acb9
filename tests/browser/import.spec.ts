import type { Page } from '@playwright/test';
import { extract } from '../../sample-registry/scenario';
import { answer, bring, load, openAssistant, type Answers } from './assistant';
import { foreignCodes } from './extracts/foreignWords';
import { arrowTables, dataPackage, foreignTables, parquetTables, utf16Files, wideTable, workbook, type BroughtFile } from './extracts/shapes';
import { shoulderTruth } from './extracts/truth';
import { onThePage, type Numbers } from './numbersOnThePage';
import { answered, expect, test } from './workbench';

// One invented registry, as seven people keep it. Whoever brings it, the opening comparison must give the same numbers to the last digit.
const truth = shoulderTruth({ procedures: 3000, seed: 11 });
const registry = { name: 'Harbour registry', version: '2024', opened: extract.opened, closing: extract.closingDate, deathsClosing: extract.deathsClosingDate };
const ownCodes = Object.fromEntries(Object.entries(foreignCodes).map(([code, own]) => [own, code]));

async function numbersAfterwards(page: Page): Promise<Numbers> {
  await page.getByRole('navigation', { name: 'Pages', exact: true }).getByRole('link', { name: 'Compare' }).click();
  await answered(page);
  return onThePage(page);
}

let expected: Numbers | null = null; // of the data package, loaded without the assistant
async function numbersOfThePackage(page: Page): Promise<Numbers> {
  if (expected === null) {
    await page.goto('./data/');
    await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
    await page.locator('input[type="file"]').first().setInputFiles(dataPackage(truth).map((file) => ({ ...file })));
    await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 60_000 });
    expected = await numbersAfterwards(page);
    expect(expected.percents.length, 'two groups at five times').toBe(10);
    expect(expected.percents.flat().every(Number.isFinite)).toBe(true);
  }
  return expected;
}

const shapes: readonly { readonly what: string; readonly files: () => Promise<readonly BroughtFile[]> | readonly BroughtFile[]; readonly more?: Partial<Answers> }[] = [
  { what: 'the data package as one zip', files: () => dataPackage(truth) },
  { what: 'long tables with semicolons, decimal commas, days as 31.12.2024, names and codes of their own', files: () => foreignTables(truth), more: { joint: 'shoulder', dayOrder: 'day-month-year', codes: ownCodes } },
  { what: 'one wide table with a group of columns for each component and re-operation', files: () => wideTable(truth), more: { joint: 'shoulder', dayOrder: 'day-month-year' } },
  { what: 'a workbook with a sheet a table', files: () => workbook(truth) },
  { what: 'UTF-16 text with tabs, packed, the procedures in two files', files: () => utf16Files(truth) },
  { what: 'typed Parquet files', files: () => parquetTables(truth) },
  { what: 'Arrow streams', files: () => arrowTables(truth) },
];

for (const { what, files, more } of shapes) {
  test(`the same numbers from ${what}`, async ({ page }) => {
    test.slow();
    const wanted = await numbersOfThePackage(page);
    await openAssistant(page);
    await bring(page, await files());
    await answer(page, { registry, ...more });
    await expect(page.locator('#load')).toContainText('All is answered');
    await load(page);
    const setAside = page.locator('#load [data-table="records"] tbody tr').filter({ hasText: 'Procedures' }).locator('[data-value]');
    expect(await setAside.evaluateAll((cells) => cells.map((cell) => Number(cell.getAttribute('data-value'))))).toEqual([truth.procedures.length, truth.procedures.length, 0, 0]);
    expect(await numbersAfterwards(page)).toEqual(wanted);
  });
}
