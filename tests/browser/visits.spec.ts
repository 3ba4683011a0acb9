import type { Page } from '@playwright/test';
import type { Estimate } from '../../lib/analysis/result';
import type { VisitsAnalysis } from '../../lib/visits/visitsResult';
import { printedFor } from './commandLine';
import { edit, expect, open, test } from './workbench';

// A surgeon who wonders about short stems looks earlier than revision: bone around short and long stems, scores, and what it has to do with later revision.

const designs = ['standard_stem', 'short_stem', 'long_stem'];
const question = { compare: 'design', cohort: { role: 'humeral_stem', designs } };
const address = `./visits/?role=humeral_stem&${designs.map((design) => `design=${design}`).join('&')}`;

const shown = (page: Page, table: string) => page.locator(`[data-table="${table}"] tbody tr`).evaluateAll((rows) =>
  rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));
const three = (estimate: object): readonly number[] => { const { value, lower, upper } = estimate as Estimate; return [value, lower, upper]; };
const choose = (page: Page, group: string, option: string) => page.getByRole('radiogroup', { name: group }).getByRole('radio', { name: option, exact: true }).click();
const unfold = (page: Page, section: string, title: string) => page.locator(`#${section} summary`).filter({ hasText: title }).first().click();
function expectClose(found: readonly number[], wanted: readonly number[]): void {
  expect(found).toHaveLength(wanted.length);
  found.forEach((value, i) => { expect(Math.abs(value - wanted[i]!), `${i}`).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(wanted[i]!))); });
}

test('short against long stems: signs, scores and later revision, with the numbers of the command line', async ({ page }) => {
  const printed = printedFor('--visits', question);
  await open(page, address);
  await expect(page.locator('#at-a-glance')).toContainText('Bone adaptation around the humeral component');
  const answer = await printed as VisitsAnalysis;
  expect(answer.groups.map(({ key }) => key).sort()).toEqual([...designs].sort());

  await unfold(page, 'humerus', 'Bone adaptation around the humeral component at each visit');
  const adaptation = answer.signs.filter(({ measure }) => measure === 'stem_adaptation');
  const rows = await shown(page, 'sign-stem_adaptation');
  adaptation.flatMap(({ groups }) => groups).forEach((group, i) => {
    if ('status' in group.percent) return;
    expectClose(rows[i]!.slice(0, 7), [group.due, group.seen, group.assessed, group.present, ...three(group.percent)]);
  });
  await unfold(page, 'humerus', 'differences between the groups');
  expectClose((await shown(page, 'sign-difference-stem_adaptation'))[0]!.slice(0, 3), three(adaptation[0]!.differences[0]!.points));

  await choose(page, 'Humeral signs', 'Cortical thinning');
  await expect(page.locator('#humerus [data-chart^="zones-thinning"]').first()).toBeVisible();
  await expect(page.locator('#humerus [data-chart^="zones-thinning"]').first().locator('[data-zone]')).toHaveCount(7 * answer.groups.length);

  await choose(page, 'Pain and score', 'Shoulder score');
  await unfold(page, 'pain-and-score', 'Shoulder score: differences between the groups');
  const scores = answer.amounts.filter(({ measure, differences }) => measure === 'score_total' && differences.length > 0);
  const first = scores[0]!.differences[0]!;
  expectClose((await shown(page, 'difference-score_total'))[0]!, [first.procedures, ...three(first.estimate), first.p]);

  for (const { measure, landmarks } of answer.earlyWarnings) {
    for (const { years, estimate, p } of landmarks) {
      if ('status' in estimate) continue;
      const row = page.locator(`[data-forest="early-warnings"] tr[data-row="${measure}:${years}"]`);
      const numbers = await row.evaluate((element) => ['hr', 'lower', 'upper', 'p'].map((key) => Number((element as HTMLElement).dataset[key])));
      expectClose(numbers, [...three(estimate), p]);
    }
  }
  await expect(page.locator('#early-warning')).toContainText('immortal time');
  await expect(page.locator('#who-came')).toContainText('Those who come differ from those who don’t');
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
