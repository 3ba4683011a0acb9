import type { Page } from '@playwright/test';
import { visitsCases } from '../reference/visitsCase';
import { onThePage } from './numbersOnThePage';
import { edit, expect, open, test } from './workbench';

// A surgeon who wonders about short stems looks earlier than revision: bone around short and long stems, tendon, scores, and what it has to do with later revision.

const stems = 'role=humeral_stem&design=standard_stem&design=short_stem&design=long_stem&reference=long_stem';
const important = 'important=30&important-in=score_total&important-instrument=TS-100&important-anchor=invented&important-population=invented&important-source=invented&instrument=TS-100';

const shown = (page: Page, table: string, visit = '') => page.locator(`[data-table="${table}"] tbody tr`).filter({ hasText: visit }).evaluateAll((rows) =>
  rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));
const choose = (page: Page, group: string, option: string) => page.getByRole('radiogroup', { name: group }).getByRole('radio', { name: option, exact: true }).click();
function expectClose(found: readonly (readonly number[])[], wanted: readonly (readonly number[])[], relative = 1e-7): void {
  expect(found.map((row) => row.length)).toEqual(wanted.map((row) => row.length));
  found.forEach((row, r) => { row.forEach((value, i) => {
    const right = wanted[r]![i]!;
    expect(Math.abs(value - right), `row ${r}, ${i}: ${value}, ${right}`).toBeLessThanOrEqual(relative * Math.max(1, Math.abs(right)));
  }); });
}

test('short against long stems: signs, tendon, scores and revision, with the numbers of R', async ({ page }) => {
  // tests/reference/sampleVisits.R, from the CSV files of the same extract; `npm run reference` runs it anew
  const { input: { version }, expected: r } = visitsCases.find(({ name }) => name === 'short and standard against long stems')!;
  await open(page, `./visits/?${stems}&${important}`);
  await expect(page.locator('.answer')).toContainText(version);

  const read = r.adaptation.flatMap(({ window, counts, percent, bothSides }) => counts.map(([present, assessed], g) => {
    const [due, seen] = r.due.find((one) => one.window === window)!.counts[g]!, [, ...limits] = bothSides.percent[g]!;
    return [due!, seen!, assessed!, present!, ...percent[g]!, ...limits];
  }));
  expectClose((await shown(page, 'sign-stem_adaptation')).map((row) => row.slice(0, 9)), read);
  expectClose((await shown(page, 'sign-difference-stem_adaptation')).map((row) => row.slice(0, 5)), r.adaptation.flatMap(({ points, bothSides }) => points.map((row, k) => [...row, ...bothSides.points[k]!.slice(1)])));
  await expect(page.locator('#who-came')).toContainText('Those who come differ from those who don’t');

  await choose(page, 'Humeral signs', 'Cortical thinning');
  const drawn = page.locator('#humerus [data-chart="zones-thinning-5y"]');
  await expect(drawn.locator('[data-zone]')).toHaveCount(7 * r.groups.length);
  expect(await drawn.locator('[data-zone="medial_upper"] text').allTextContents()).toEqual(r.zone.percent.map(([percent]) => percent!.toFixed(1)));
  const shades = await drawn.locator('[data-zone="medial_upper"] rect').evaluateAll((boxes) => boxes.map((box) => Number(box.getAttribute('fill-opacity'))));
  expectClose([shades], [r.zone.percent.map(([percent]) => 0.03 + 0.0045 * percent!)]); // the more, the darker

  expectClose((await shown(page, 'grades-compared-tendon')).map((row) => row.slice(3, 6)), r.tendon.odds, 2e-3); // to the digits of polr

  await choose(page, 'Pain and score', 'Shoulder score');
  expectClose((await shown(page, 'difference-score_total', '2 years')).map((row) => row.slice(0, 4)), r.ancova.estimate.map((row) => [r.ancova.rows, ...row]));
  expectClose((await shown(page, 'important-score_total', '2 years')).map((row) => row.slice(1, 8)), r.important.counts.map(([gained, both], g) => [both!, gained!, ...r.important.percent[g]!, ...r.important.lost[g]!]));

  const ratio = (row: string) => page.locator(`[data-forest="early-warnings"] tr[data-row="glenoid_radiolucency:${row}"]`).evaluate((element) => ['hr', 'lower', 'upper'].map((key) => Number((element as HTMLElement).dataset[key])));
  expectClose([await ratio('2'), await ratio('changing')], [r.landmark.ratio, r.varying.ratio], 1e-6);
  await expect(page.locator('#early-warning')).toContainText('immortal time');

  await open(page, `./?${stems}`);
  const { percents, ratios } = await onThePage(page), fiveYears = percents.slice(6, 9); // after those of one and two years
  expectClose(fiveYears.map((row) => row.slice(2)), r.revision.byFiveYears.map((row) => row.slice(1)));
  expectClose(ratios, r.revision.ratios);
});

test('an important difference is shown only with its instrument, anchor, population and source', async ({ page }) => {
  await open(page, './visits/?measure=score_total');
  await page.getByRole('button', { name: 'More settings' }).click();
  const form = page.getByRole('form', { name: 'Important difference' });
  await form.getByRole('textbox', { name: 'Important difference' }).fill('10');
  await form.getByRole('button', { name: 'Set the difference' }).click();
  await expect(form.getByRole('alert')).toContainText('Missing or out of range: instrument, anchor, population, source');
  for (const field of ['Instrument', 'Anchor', 'Population', 'Source']) await form.getByLabel(field, { exact: true }).fill(`Invented ${field.toLowerCase()}`);
  await form.getByRole('button', { name: 'Set the difference' }).click();
  await expect(page.locator('#pain-and-score')).toContainText('gained the important difference of 10.0 or more', { timeout: 60_000 });
  await expect(page.locator('#pain-and-score')).toContainText('does not carry to another instrument or population');
});

test('fewer measures and visits are asked in the sentence, and the address brings them back', async ({ page }) => {
  await open(page, './visits/?measure=pain');
  await expect(page.locator('#humerus')).toHaveCount(0);
  await edit(page, 'Visits', async (dialog) => { await dialog.getByLabel('2 years').check(); });
  await expect(page).toHaveURL(/visit=2y/);
  await expect(page.locator('[data-table="visits"] tbody tr').first()).toContainText('2 years');
});
