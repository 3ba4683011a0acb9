import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { freeze } from '../../lib/planning/frozenPlan';
import { StudyPlan } from '../../lib/contract/studyPlan';
import { answered, expect, test } from './workbench';

// A research fellow plans a comparison of short and standard stems, freezes it, and takes the sheet to the ethics committee.

const numbers = (page: Page) => page.locator('#numbers');
const ready = async (page: Page): Promise<void> => {
  await page.goto('./plan/');
  await expect(page.locator('.plan[data-settled]')).toBeVisible({ timeout: 60_000 });
};

test('a sign in 30% against 50%: 93 in each arm, as R’s power.prop.test says, and 104 with a tenth lost', async ({ page }) => {
  await ready(page); // power.prop.test(p1 = .3, p2 = .5, power = .8): n = 93.0
  await expect(numbers(page)).toContainText('93 with Short stem and 93 with Standard stem must reach the end point; 208 have to be recruited.');
  const power = await page.locator('[data-table="planned-comparisons"] tbody td[data-value]').nth(1).getAttribute('data-value');
  expect(Number(power)).toBeCloseTo(80.0044, 2); // power.prop.test(n = 93, p1 = .3, p2 = .5)
});

test('three arms share the level; nothing to be seen is said in words', async ({ page }) => {
  await ready(page);
  await page.getByRole('radio', { name: 'Three' }).check();
  await page.getByLabel('Percent expected, C').fill('70');
  await page.getByLabel('Percent expected, C').blur();
  await expect(page.locator('[data-table="planned-comparisons"] tbody tr')).toHaveCount(3);
  await expect(page.locator('[data-table="planned-comparisons"]')).toContainText('1.7%');
  await page.getByLabel('Percent expected, C').fill('50');
  await page.getByLabel('Percent expected, C').blur();
  await expect(numbers(page)).toContainText('No number can be given: no difference is expected between Standard stem and C');
});

test('a frozen plan comes back from its file, a changed one is refused, and the sheet carries its hash', async ({ page }) => {
  await ready(page);
  await page.getByLabel('Title').fill('Short against standard stems');
  await page.getByRole('button', { name: 'Put in a first wording' }).click();
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Freeze and save' }).click();
  const path = await (await download).path(), text = readFileSync(path, 'utf8'), { hash } = JSON.parse(text) as { hash: string };
  await expect(page.locator('.frozen')).toContainText(`hash ${hash.slice(0, 12)}`);
  await expect(page.locator('.frozen')).toContainText('results on them may have been seen before');
  await page.getByRole('link', { name: 'Compare' }).click();
  await expect(page.locator('.answer .frozen')).toContainText('“Short against standard stems” was frozen'); // beside the results
  await page.getByRole('link', { name: 'Plan', exact: true }).click();
  await page.getByRole('button', { name: 'Sheet for paper' }).click();
  await expect(page.locator('.sheet')).toContainText(hash);
  await expect(page.locator('.sheet')).toContainText('Newcombe’s limits');
  await page.getByRole('button', { name: 'Back to the plan' }).click();
  await page.getByLabel('Percent expected, Short stem').fill('40');
  await page.getByLabel('Percent expected, Short stem').blur();
  await page.getByRole('button', { name: 'Sheet for paper' }).click();
  await expect(page.locator('.sheet')).toContainText('a draft'); // no longer what was frozen
  await page.getByRole('button', { name: 'Back to the plan' }).click();
  const open = (content: string) => page.locator('input[type="file"]').setInputFiles({ name: 'plan.json', mimeType: 'application/json', buffer: Buffer.from(content) });
  await open(text.replace('0.5', '0.45'));
  await expect(page.locator('.plan').getByRole('alert')).toContainText('was changed after it was frozen');
  await open(text);
  await expect(page.getByLabel('Percent expected, Short stem')).toHaveValue('30');
});

test('a plan frozen before the data were closed says so beside the results of both pages, and its sheet lists visits, measures and analysis', async ({ page }) => {
  const plan = StudyPlan.parse({
    plan: 1, title: 'Short against long stems', assignment: 'observed', arms: [{ label: 'Short stem' }, { label: 'Standard stem' }, { label: 'Long stem' }], endPoint: { kind: 'revision', percents: [3, 5, 9], atYears: 5, accrualYears: 3, furtherYears: 5 },
    visits: ['before', '2y'], measures: ['Bone adaptation in seven zones'], analysis: 'A Cox model.',
  });
  const frozen = await freeze(plan, null, new Date('2020-02-03T10:00:00Z')); // the sample was closed at the end of 2024
  await ready(page);
  await page.locator('input[type="file"]').setInputFiles({ name: 'plan.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(frozen)) });
  const before = /“Short against long stems” was frozen on 3 February 2020 .*the plan was fixed before them/;
  await expect(page.locator('.plan .frozen')).toContainText(before);
  await page.getByRole('button', { name: 'Sheet for paper' }).click();
  for (const words of ['Before the procedure and 2 years (day 731; 548–1277)', 'Bone adaptation in seven zones', 'A Cox model.', 'Schoenfeld', frozen.hash]) await expect(page.locator('.sheet')).toContainText(words);
  await page.getByRole('button', { name: 'Back to the plan' }).click();
  for (const name of ['Before revision', 'Compare']) {
    await page.getByRole('link', { name, exact: true }).click();
    await answered(page);
    await expect(page.locator('.answer .frozen')).toContainText(before);
  }
});
