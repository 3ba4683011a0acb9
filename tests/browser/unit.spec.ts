import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { UnitsQuestion } from '../../lib/contract/unitsQuestion';
import type { UnitAnalysis } from '../../lib/screening/units/unitsResult';
import type { Truth } from '../../sample-registry/truth';
import { seriousViolations } from './axe';
import { printedFor } from './commandLine';
import { edit, expect, open, test } from './workbench';

// Of the sample registry, in which hospital H044 revises 2.2 times as often as it would otherwise (sample-registry/truth.json).
const planted = 'H044';
const plantedTruth = JSON.parse(readFileSync('sample-registry/truth.json', 'utf8')) as Truth;
const otherHospitals = (text: string): readonly string[] => [...new Set(text.match(/\bH\d{3}\b/g) ?? [])].filter((id) => id !== planted);

async function settled(page: Page, about: 'one' | 'all'): Promise<void> {
  await expect(page.locator(`.answer[data-about="${about}"][data-pending="false"]`)).toBeVisible({ timeout: 60_000 });
}

async function choose(page: Page, kind: 'Hospital' | 'Surgeon', id: string): Promise<void> {
  const entry = page.getByRole('combobox', kind === 'Hospital' ? { name: kind, exact: true } : { name: kind });
  await entry.click(); // scrolling there closes the list
  await entry.fill(id);
  await page.getByRole('option', { name: id }).click();
  await settled(page, 'one');
}

const valuesOf = (page: Page, table: string) => page.locator(`[data-table="${table}"] tbody tr`).evaluateAll((rows) =>
  rows.map((row) => [...row.querySelectorAll<HTMLElement>('[data-value]')].map(({ dataset }) => Number(dataset['value']))));

/** To twelve digits: the same additions in another order. */
function expectSame(found: readonly (readonly number[])[], wanted: readonly (readonly number[])[]): void {
  expect(found.map((row) => row.length)).toEqual(wanted.map((row) => row.length));
  found.forEach((row, r) => { row.forEach((value, c) => { expect(Math.abs(value - wanted[r]![c]!)).toBeLessThanOrEqual(1e-12 * Math.abs(wanted[r]![c]!)); }); });
}

async function setBenchmark(page: Page, percent: string, joint = 'Shoulder'): Promise<void> {
  const form = page.getByRole('form', { name: 'Benchmark' });
  await form.getByLabel('Percent revised').fill(percent);
  await form.getByLabel('Margin, percentage points').fill('1');
  await form.getByLabel('At, years since surgery').fill('10');
  await form.getByLabel('Year in which it was set').fill('2024');
  await form.getByLabel(joint).check();
  await form.getByLabel('Source').fill('Steering committee, minute 12');
  await form.getByRole('button', { name: 'Set the benchmark' }).click();
}

test.describe('a department head looks at the own hospital', () => {
  test('from the data to what drives the difference, and sets a bar', async ({ page }) => {
    await open(page, './unit/');
    await expect(page.locator('.in-words')).toContainText(/60 hospitals with [\d,]+ procedures, [\d,]+ of them revised\./);
    await expect(page.locator('.in-words')).toContainText('so a flag is a question and no verdict');
    expect((await page.locator('#content').textContent() ?? '').match(/\bH\d{3}\b/g)).toBeNull();

    await choose(page, 'Hospital', planted);
    const headings = await page.locator('.answer h2').allTextContents();
    expect(headings.slice(0, 5)).toEqual(['The data first', 'In words', 'Who was operated on', 'Observed and expected', 'Among all hospitals']);
    await expect(page.locator('[data-table="data-first"]')).toContainText('Revisions linked by patient, joint and side');

    await expect(page.locator('.in-words')).toContainText('it lies above the 99.8% limits of chance alone, and it lies above the 99.8% limits when the usual differences between hospitals are allowed for');
    const [, , observed, expected, ratio] = await valuesOf(page, 'observed-expected');
    expect(ratio?.[0]).toBeCloseTo((observed?.[0] ?? NaN) / (expected?.[0] ?? NaN), 10);
    expect(ratio?.[1]).toBeGreaterThan(1.5);

    const funnel = page.locator('[data-chart="funnel-hospitals"]');
    await expect(funnel.locator('[data-mark="own"]')).toHaveCount(1);
    await expect(funnel.locator('[data-mark]')).toHaveCount(60);
    await expect(page.locator('.funnel .reading')).toContainText(`hospital ${planted}, the one looked at`);
    const slider = page.getByRole('slider', { name: 'Read one by one, by expected revisions' });
    await slider.focus();
    await page.keyboard.press('ArrowRight');
    await expect(slider).toHaveAttribute('aria-valuetext', /^a peer: \d+ observed, \d+\.\d expected, ratio \d\.\d\d\. Limits for chance alone: /);
    expect(otherHospitals(await page.locator('#content').textContent() ?? '')).toEqual([]);

    await expect(page.locator('[data-table="percent-revised"] tbody tr')).toHaveCount(8);
    await expect(page.locator('[data-table="percent-revised-adjusted"] tbody tr')).toHaveCount(8);
    await expect(page.locator('#drivers')).toContainText(/\d+\.\d revisions more than expected in all\./);
    await expect(page.locator('#drivers [data-table^="by-"]').first()).toBeVisible();
    await expect(page.locator('#trend')).toContainText('A low ratio there is not yet an improvement.');

    await expect(page.locator('#benchmark')).toContainText('no such figure is known for shoulders');
    await expect(page.locator('[data-table="benchmark"]')).toHaveCount(0);
    await page.getByRole('form', { name: 'Benchmark' }).getByRole('button', { name: 'Set the benchmark' }).click();
    await expect(page.locator('#benchmark')).toContainText('There is no verdict without a complete bar.');
    await setBenchmark(page, '5');
    await expect(page.locator('#benchmark')).toContainText('Inferior by more than the margin: the whole interval lies above 6.0%.');
    await expect(page.locator('#benchmark')).toContainText(/of 2024; source: Steering committee, minute 12\. It was set on .* UTC, after results of a unit had been shown\./);
    await expect(page.locator('[data-table="benchmark"]')).toContainText('inferior by more than the margin');

    expect(page.url()).toContain('benchmark=5');
    expect(page.url()).not.toMatch(/H\d{3}|S\d{4}/);
    await expect(page.locator('#cautions')).toContainText('A unit outside the limits is a question and no verdict.');
    await expect(page.getByRole('button', { name: 'Raise a question about this' })).toBeVisible();
  });

  test('with a bar set beforehand the record says so; one of another joint gives no verdict', async ({ page }) => {
    await open(page, './unit/');
    await setBenchmark(page, '5', 'Hip');
    await choose(page, 'Hospital', planted);
    await expect(page.locator('#benchmark')).toContainText('before results of any unit were shown');
    await expect(page.locator('#benchmark')).toContainText('It was set for the hip and the question is about the shoulder, so there is no verdict.');
    await expect(page.locator('[data-table="benchmark"]')).toHaveCount(0);
  });

  test('reads the same numbers as on the command line', async ({ page }) => {
    const printed = printedFor('--units', {}, '--hospital', planted);
    await open(page, './unit/');
    await choose(page, 'Hospital', planted);
    const { line, atTimes, adjustedAtTimes, years, drivers } = await printed as UnitAnalysis;
    if (line.standardised.status !== 'ok' || 'status' in adjustedAtTimes) throw new Error('the planted hospital has its numbers');
    const s = line.standardised;
    expectSame((await valuesOf(page, 'observed-expected')).slice(0, 8), [
      [line.procedures], [line.leftOut], [s.observed], [s.expected], [s.ratio, s.lower, s.upper], [s.ratio, s.midP.lower, s.midP.upper], [s.p.higher.exact], [s.p.higher.midP],
    ]);
    const percents = (of: UnitAnalysis['atTimes']) => of.map(({ atRisk, events, estimate }) => ('value' in estimate ? [atRisk, events, estimate.value, estimate.lower, estimate.upper] : [atRisk, events]));
    expectSame(await valuesOf(page, 'percent-revised'), percents(atTimes));
    expectSame(await valuesOf(page, 'percent-revised-adjusted'), percents(adjustedAtTimes));
    const counted = (of: { procedures: number; observed: number; expected: number }) => [of.procedures, of.observed, of.expected];
    expectSame((await valuesOf(page, 'by-year')).map((row) => row.slice(0, 4)), years.map((year) => [year.year, ...counted(year)]));
    expectSame((await valuesOf(page, 'by-reason-for-revision')).map((row) => row.slice(0, 3)), drivers.find(({ name }) => name === 'reason')!.levels.map(counted));
  });

  test('goes to a surgeon, back, and sees names of peers only when they are switched on', async ({ page }) => {
    await open(page, './unit/');
    await choose(page, 'Hospital', planted);
    await expect(page.locator('[data-table="surgeons"]')).toHaveCount(0);
    await page.getByRole('button', { name: 'Show this hospital’s surgeons' }).click();
    const [surgeon] = await page.locator('[data-table="surgeons"] tbody th .inside').allTextContents();
    expect(surgeon).toMatch(/^S\d{4}$/);
    await page.getByRole('button', { name: 'Show the unit’s revised procedures' }).click();
    await expect(page.locator('[data-table="own-cases"] tbody tr').first()).toContainText(/\d{4}/);

    await choose(page, 'Surgeon', surgeon ?? '');
    await expect(page.locator('.looked-at')).toHaveText(`Surgeon ${surgeon ?? ''}`);
    await expect(page.getByRole('button', { name: 'Units: surgeons' })).toBeVisible();
    await page.getByRole('button', { name: 'Back to the hospital' }).click();
    await expect(page.locator('.looked-at')).toHaveText(`Hospital ${planted}`);

    await page.getByLabel('Show the identifiers of peers, for this session').check();
    await settled(page, 'one');
    const slider = page.getByRole('slider', { name: 'Read one by one, by expected revisions' });
    await slider.focus();
    await page.keyboard.press('End');
    await page.locator('.funnel .reading').getByRole('button', { name: /^Open hospital H\d{3}$/ }).click();
    await expect(page.locator('.looked-at')).not.toHaveText(`Hospital ${planted}`);
    await settled(page, 'one');
    expect(page.url()).not.toMatch(/H\d{3}|S\d{4}/);

    await page.getByRole('link', { name: 'Compare' }).click(); // the unit stays chosen for other pages
    await expect(page.locator('.answer[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
    await page.getByRole('link', { name: 'Our unit' }).click();
    await settled(page, 'one');
  });
});

test('both planted hospitals and the planted surgeon are asked about, and of other hospitals no more than the share set', async ({ page }) => {
  const asked = async (several: 'hospitals' | 'surgeons') => (await page.locator(`[data-table="funnel-${several}"] tbody tr`).evaluateAll((rows) => rows.map((row) => ({
    id: /[HS]\d{3,4}/.exec(row.querySelector('th')?.textContent ?? '')?.[0] ?? '', status: [...row.querySelectorAll('td')].at(-1)?.textContent ?? '',
  })))).map(({ id, status }) => ({ id, assessed: !status.includes('not assessed'), flagged: status.includes('asked about') && !status.includes('not asked about') }));
  await open(page, './unit/');
  await page.getByLabel('Show the identifiers of peers, for this session').check();
  await expect(page.locator('[data-table="funnel-hospitals"]')).toContainText('H032');
  const hospitals = await asked('hospitals'), { planted: truth } = plantedTruth, ofTruth = truth.hospitals.map(({ hospital }) => hospital);
  expect(hospitals.filter(({ id, flagged }) => flagged && ofTruth.includes(id)).map(({ id }) => id).sort()).toEqual([...ofTruth].sort());
  const others = hospitals.filter(({ id, assessed }) => assessed && !ofTruth.includes(id)), { alarmLevel } = UnitsQuestion.parse({});
  expect(others.filter(({ flagged }) => flagged).length / others.length).toBeLessThanOrEqual((1 - alarmLevel) / 2);

  await open(page, './unit/?units=surgeon');
  await page.getByLabel('Show the identifiers of peers, for this session').check();
  await expect(page.locator('[data-table="funnel-surgeons"]')).toContainText(truth.surgeon.surgeon);
  expect((await asked('surgeons')).find(({ id }) => id === truth.surgeon.surgeon)).toMatchObject({ flagged: true });
});

test('the question changes in its sentence, and a unit without results says why', async ({ page }) => {
  await open(page, './unit/');
  await edit(page, 'Units', (d) => d.getByLabel('Surgeons').check());
  await settled(page, 'all');
  await expect(page.locator('.in-words')).toContainText(/\d+ surgeons with /);
  expect(page.url()).toContain('units=surgeon');
  await page.goto('./unit/?unit=H044');
  await expect(page.locator('#content')).toContainText('“unit” is not a parameter of the address.');
  await page.goto('./unit/?age-from=119');
  await expect(page.locator('.answer')).toContainText('No procedure of the extract meets these conditions.');
});

for (const colorScheme of ['light', 'dark'] as const) {
  test(`a chosen unit, with an open list, has no serious violation of the accessibility guidelines in ${colorScheme} colours`, async ({ page }) => {
    await page.emulateMedia({ colorScheme });
    await open(page, './unit/');
    await choose(page, 'Hospital', planted);
    expect(await seriousViolations(page)).toEqual([]);
    const entry = page.getByRole('combobox', { name: 'Hospital', exact: true });
    await entry.click();
    await entry.fill('H0');
    await expect(page.getByRole('option').first()).toBeVisible();
    // while the list is open the rest is hidden from screen readers, and focus cannot go there without closing it
    expect((await seriousViolations(page)).filter((violation) => !violation.startsWith('aria-hidden-focus'))).toEqual([]);
  });
}
