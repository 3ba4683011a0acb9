import { readFile } from 'node:fs/promises';
import { parse } from 'csv-parse/sync';
import type { Page } from '@playwright/test';
import { csv, smallExtract } from '../engine/smallExtract';
import { answered, expect, test } from './workbench';

// Somebody put markup and formulas into the names of an extract. OWASP, "CSV Injection" and "Cross Site Scripting Prevention".

const script = '<script>window.ran = 1</script>', image = '<img src=x onerror="window.ran = 1">', link = '=HYPERLINK("http://example.org","x")';
const hospitals = [script, link, '@SUM(1+1)*cmd|\' /C calc\'!A0', '\t=1+1', '+1+1', '-1+1'], models = [image, '=1+1;=2+2', '@G02'];

function nastyFiles(): readonly { readonly name: string; readonly text: string }[] {
  const procedures = Array.from({ length: 240 }, (_, i) => ({
    procedure_id: `p${i}`, patient_id: `a${i}`, procedure_date: `20${String(10 + (i % 8)).padStart(2, '0')}-0${1 + (i % 9)}-11`, hospital_id: hospitals[i % hospitals.length]!,
    surgeon_id: `${link.slice(0, 11)}${i % 12}`, region: script, age_years: 55 + (i % 30), sex: i % 2 === 0 ? 'female' : 'male',
  }));
  const extract = {
    registry: [{ name: `${script}registry`, version: link }],
    models: models.map((model_code) => ({ model_code, maker_code: '=cmd', role: 'glenoid', design_class: 'all_poly_pegged' })),
    procedures,
    components: procedures.map(({ procedure_id }, i) => ({ procedure_id, model_code: models[i % models.length]!, lot: '=1+1' })),
    revisions: procedures.filter((_, i) => i % 4 === 0).map(({ procedure_id, patient_id }, i) => ({ revision_id: `r${i}`, procedure_id, patient_id, revision_date: `2019-0${1 + (i % 9)}-01` })),
  };
  const usual = smallExtract(extract).map(({ name }) => name.replace('.csv', ''));
  return usual.map((table) => ({ name: `${table}.csv`, text: csv(table as keyof typeof extract, table in extract ? extract[table as keyof typeof extract] : []) }));
}

/** No markup came to life, on paper either. */
async function isText(page: Page): Promise<void> {
  expect(await page.evaluate(() => ({ ran: 'ran' in window, images: document.querySelectorAll('img, iframe, object, embed').length, scripts: [...document.querySelectorAll('body script')].filter(({ textContent }) => textContent.includes('ran')).length }))).toEqual({ ran: false, images: 0, scripts: 0 });
}

/** Every table of the page as a file: no cell begins as a formula does. */
async function filesAreSafe(page: Page, atLeast: number): Promise<string> {
  await page.evaluate(() => { for (const folded of document.querySelectorAll('details')) folded.open = true; });
  const buttons = page.getByRole('button', { name: /^Download as CSV|^Download every/ }).filter({ visible: true }), count = await buttons.count();
  expect(count).toBeGreaterThanOrEqual(atLeast);
  let all = '';
  for (let i = 0; i < count; ++i) {
    await page.waitForTimeout(150); // a page may save no more than ten files a second (seen in Chromium 156.0.8078.108)
    const [download] = await Promise.all([page.waitForEvent('download'), buttons.nth(i).click()]);
    expect(download.suggestedFilename()).toMatch(/^[\w.-]+$/);
    const text = await readFile(await download.path(), 'utf8');
    for (const cell of parse(text, { relax_column_count: true }).flat()) {
      if (/^-?[\d.]+(e-?\d+)?$/.test(cell)) continue; // a number
      expect(cell, download.suggestedFilename()).not.toMatch(/^[=+\-@\t\r\n]/);
      expect(cell, download.suggestedFilename()).not.toMatch(/;[=+\-@]/);
    }
    all += text;
  }
  return all;
}

test('markup in names is text and formulas are defused, on the pages, in files and in print', async ({ page }) => {
  test.setTimeout(300_000);
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 90_000 });
  await page.locator('input[type="file"]').first().setInputFiles(nastyFiles().map(({ name, text }) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })));
  await expect(page.getByRole('heading', { name: `Loaded: ${script}registry` })).toBeVisible({ timeout: 90_000 });
  await isText(page);
  const go = (name: string) => page.getByRole('navigation', { name: 'Pages', exact: true }).getByRole('link', { name, exact: true }).click();

  await go('Compare');
  await answered(page);
  await expect(page.locator('.answer')).toContainText(`${script}registry, version ${link}`);
  await isText(page);
  expect(await filesAreSafe(page, 2)).toContain(`# Source: ${script}registry`);

  await go('Our unit');
  await answered(page);
  for (const hospital of [script, link]) {
    const entry = page.getByRole('combobox', { name: 'Hospital', exact: true });
    await entry.click(); // scrolling there closes the list
    await entry.fill(hospital.slice(0, 8));
    await page.getByRole('option', { name: hospital }).click();
    await expect(page.locator('.answer[data-pending="false"][data-about="one"]')).toBeVisible({ timeout: 90_000 });
    await isText(page);
    await filesAreSafe(page, 1);
  }

  await go('Screening');
  await answered(page);
  await expect(page.locator('.answer')).toContainText(image);
  await isText(page);
  expect(await filesAreSafe(page, 1)).toContain("'=1+1;'=2+2");
  await page.emulateMedia({ media: 'print' });
  await isText(page);
  expect((await page.pdf({ format: 'A4' })).length).toBeGreaterThan(10_000);
});
