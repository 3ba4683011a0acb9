import type { Locator, Page } from '@playwright/test';
import type { DateOrder } from '../../lib/contract/mapping';
import type { BroughtFile } from './extracts/shapes';
import { expect } from './workbench';

/** What a person knows of their own files and is asked. */
export interface Answers {
  readonly registry: { readonly name: string; readonly version: string; readonly opened: string; readonly closing: string; readonly deathsClosing: string };
  readonly joint?: string;
  readonly dayOrder?: DateOrder;
  /** Code of the dictionary by the file's own. */
  readonly codes?: Readonly<Record<string, string>>;
}

export async function openAssistant(page: Page): Promise<void> {
  await page.goto('./data/import/');
  await expect(page.locator('#content').locator('[data-ready="true"]')).toBeVisible({ timeout: 60_000 });
}

/** Chooses files, and waits until their first rows were looked at. */
export async function bring(page: Page, files: readonly BroughtFile[]): Promise<void> {
  await page.locator('#files input[type="file"]').first().setInputFiles(files.map((file) => ({ ...file })));
  await expect(page.locator('[data-source]').first()).toBeVisible({ timeout: 60_000 });
  await expect(page.getByText('Looking at the first rows')).toBeHidden({ timeout: 60_000 });
}

/** Does something to each that is found, until none is left. */
async function each(found: Locator, act: (one: Locator) => Promise<void>): Promise<void> {
  for (let left = await found.count(); left > 0; left = await found.count()) {
    await act(found.first());
    await expect(found).toHaveCount(left - 1);
  }
}

/** The place where a field gets its column: `Primary procedures`, `side`. */
export const fieldOf = (page: Page, records: string, field: string): Locator =>
  page.locator(`#columns details[data-name*=": ${records}"] [data-field="${field}"]`).first();

/** Gives a value or column to a field that is listed as not in the file. */
async function chooseAbsent(page: Page, records: string, field: string, value: string): Promise<void> {
  const table = page.locator(`#columns details[data-name*=": ${records}"]`).first();
  const place = fieldOf(page, records, field);
  if (!await table.evaluate((details: HTMLDetailsElement) => details.open)) await table.locator('summary').first().click();
  if (!await place.isVisible()) await table.locator('details.absent > summary').click();
  await place.getByRole('combobox').first().selectOption(value);
}

/** Goes through the steps as a person would: takes the suggestions and answers what is asked. */
export async function answer(page: Page, { registry, joint, dayOrder, codes = {} }: Answers): Promise<void> {
  await each(page.getByRole('checkbox', { name: 'The rows below look right', disabled: false }), (box) => box.check());
  if (joint !== undefined) {
    await fieldOf(page, 'Primary procedures', 'joint').getByRole('combobox').first().selectOption(`=${joint}`);
    // said on the page: without it, re-operations that do not name their primary can't be linked
    if (await page.getByText('Re-operations do not say the joint').isVisible()) await chooseAbsent(page, 'Re-operations', 'joint', `=${joint}`);
  }
  if (dayOrder !== undefined) await each(page.locator('.day-order.asked'), (asked) => asked.getByRole('radio', { name: new RegExp(`^${dayOrder}`) }).check());
  await each(page.locator('.code-rows > li[data-state="asked"]'), async (row) => {
    const value = await row.locator('.value').innerText();
    expect(codes[value], `the person is asked what ‘${value}’ means`).toBeDefined();
    await row.getByRole('combobox').selectOption(codes[value] ?? '');
  });
  await each(page.getByRole('button', { name: /^That is right/ }), (button) => button.click());
  const entries = { 'Name of the registry, hospital or study': registry.name, 'Version of the extract': registry.version, 'Data collected from': registry.opened, 'Revisions complete to (closing date)': registry.closing, 'Deaths complete to': registry.deathsClosing };
  for (const [label, value] of Object.entries(entries)) {
    await page.getByLabel(label).fill(value);
    await page.getByLabel(label).blur();
  }
  await page.getByRole('checkbox', { name: /^Revisions are known for every procedure/ }).check();
}

/** Loads what was mapped. */
export async function load(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Load the extract' }).click();
  await expect(page.locator('#load [data-loaded="own"]')).toBeVisible({ timeout: 60_000 });
}
