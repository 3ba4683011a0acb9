import { readFile } from 'node:fs/promises';
import type { Page } from '@playwright/test';
import { toAddress } from '../../lib/contract/address';
import { openingQuestion } from '../../lib/contract/openingQuestion';
import { Question } from '../../lib/contract/question';
import { View } from '../../lib/contract/view';
import { seriousViolations } from './axe';
import { commandLine } from './commandLine';
import { answered, edit, expect, open, test } from './workbench';

const inOrder = ['competingRisks', 'competingRatios', 'difference', 'sameCaseMix', 'ratioOverTime', 'sensitivity', 'clustering', 'missingData', 'subgroups', 'precision'];

/** Waits until the last part of the answer is there. */
const arrived = (page: Page) => expect(page.locator('[data-chapter="precision"]')).toBeVisible({ timeout: 60_000 });

function numbersIn(value: unknown): readonly number[] {
  if (typeof value === 'number') return [value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

/** Every number behind the words of a part of the page, at full precision. */
const numbersShown = (page: Page, chapter: string): Promise<readonly number[]> => page.locator(`[data-chapter="${chapter}"]`).evaluate((part) =>
  [...part.querySelectorAll<HTMLElement>('*')].flatMap(({ dataset }) => ['value', 'hr', 'lower', 'upper', 'p', 'before', 'after'].flatMap((key) => (dataset[key] === undefined ? [] : [Number(dataset[key])]))));

/** Those of `shown` that are not among `printed`, but for the last digits of a double. */
function strangers(shown: readonly number[], printed: readonly number[]): readonly number[] {
  const known = [...printed].sort((a, b) => a - b);
  const near = (a: number, b: number | undefined) => b !== undefined && Math.abs(a - b) <= 1e-9 * Math.max(Math.abs(a), Math.abs(b));
  return shown.filter((n) => {
    if (!Number.isFinite(n)) return false;
    let low = 0, high = known.length;
    while (low < high) { const middle = (low + high) >> 1; if (known[middle]! < n) low = middle + 1; else high = middle; }
    return !near(n, known[low]) && !near(n, known[low - 1]);
  });
}

for (const { name, part } of [
  { name: 'pegs and keels', part: {} },
  { name: 'three designs, one with a ratio that changes, and records with gaps', part: { groups: ['all_poly_pegged', 'all_poly_keeled', 'metal_backed'], adjust: ['age', 'sex', 'asa'] } },
]) {
  test(`${name}: every number of the further parts is one that the command line prints`, async ({ page }) => {
    const question = Question.parse({ ...openingQuestion, ...part });
    const printed = commandLine(question);
    await open(page, `./?${toAddress(question, View.parse({}))}`);
    await arrived(page);
    const { chapters } = await printed as { readonly chapters: Readonly<Record<string, unknown>> };
    for (const chapter of inOrder) {
      const shown = await numbersShown(page, chapter), numbers = numbersIn(chapters[chapter === 'competingRatios' ? 'competingRisks' : chapter]);
      const nothingMissing = chapter === 'missingData' && part.adjust === undefined;
      expect(shown.length, chapter).toBeGreaterThan(nothingMissing ? -1 : 10);
      expect(strangers(shown, chapter === 'missingData' ? [...numbers, ...numbers.map((n) => 100 * n)] : numbers), chapter).toEqual([]);
    }
  });
}

test('the main numbers stand where they are said to', async ({ page }) => {
  const printed = commandLine(openingQuestion);
  await open(page);
  await arrived(page);
  const { chapters } = await printed as { readonly chapters: Record<string, never> };
  const row = (table: string, time: string) => page.locator(`[data-table="${table}"] tbody tr`).filter({ has: page.getByRole('rowheader', { name: time, exact: true, includeHidden: true }) });
  const values = (locator: ReturnType<typeof row>) => locator.first().locator('[data-value]').evaluateAll((cells) => cells.map((cell) => Number(cell.getAttribute('data-value'))));
  interface At { years: number; events: { group: number; reference: number }; unadjusted: { difference: Limits }; adjusted: { difference: Limits }; proceduresPerRevision: { procedures: number; lower: number; upper: number } }
  interface Limits { value: number; lower: number; upper: number }
  const { contrasts } = chapters['difference'] as unknown as { contrasts: readonly { atTimes: readonly At[] }[] };
  const ten = contrasts[0]?.atTimes.find(({ years }) => years === 10);
  if (ten === undefined) throw new Error('the command line has no difference at 10 years');
  const expected = [
    ten.events.group, ten.events.reference, ...[ten.unadjusted.difference, ten.adjusted.difference].flatMap(({ value, lower, upper }) => [value, lower, upper]),
    ten.proceduresPerRevision.procedures, ten.proceduresPerRevision.lower, ten.proceduresPerRevision.upper,
  ];
  const shown = await values(row('difference-in-percent-revised', '10 years'));
  expect(shown).toHaveLength(expected.length);
  shown.forEach((n, i) => { expect(n).toBeCloseTo(expected[i]!, 8); });

  interface Line { key: string; result: { status: string; ratios?: readonly { level: string; estimate: Limits; p: number }[] } }
  const { lines } = chapters['sensitivity'] as unknown as { lines: readonly Line[] };
  expect(lines.length).toBeGreaterThan(15);
  for (const { key, result } of lines) {
    const drawn = page.locator(`[data-forest="hazard-ratios-under-the-alternatives"] tr`).and(page.locator(`[data-row="${key}"], [data-row^="${key}:"]`));
    if (result.status !== 'ok') { await expect(drawn).not.toHaveAttribute('data-hr'); continue; }
    const [ratio] = result.ratios ?? [];
    expect(Number(await drawn.getAttribute('data-hr')), key).toBeCloseTo(ratio?.estimate.value ?? NaN, 9);
    expect(Number(await drawn.getAttribute('data-upper')), key).toBeCloseTo(ratio?.estimate.upper ?? NaN, 9);
  }
});

test('the further parts come one after another, in the order in which they are read, after the answer', async ({ page }) => {
  await open(page);
  await expect(page.locator('.in-words')).toBeVisible();
  await arrived(page);
  expect(await page.locator('[data-chapter]').evaluateAll((parts) => parts.map((part) => part.getAttribute('data-chapter')))).toEqual(inOrder);
  await page.getByRole('link', { name: 'For whom' }).click();
  await expect(page.getByRole('heading', { name: 'For whom' })).toBeInViewport();
  expect(page.url()).toContain('#subgroups');
  await answered(page);
  await expect(page.locator('.problems')).toHaveCount(0);
});

test('a newer question takes the place of every part of the older one', async ({ page }) => {
  await open(page);
  await edit(page, 'Groups', (d) => d.getByLabel(/Metal-backed with polyethylene insert/).check());
  await answered(page);
  await arrived(page);
  for (const chapter of ['competingRisks', 'difference', 'sameCaseMix', 'sensitivity', 'precision']) {
    await expect(page.locator(`[data-chapter="${chapter}"]`)).toContainText('Metal-backed with polyethylene insert');
  }
  await expect(page.locator('.answer section h2').nth(4), 'its ratio changes with time, so that this is told first').toHaveText('Does the ratio change with time');
});

test('the curves answer another question when deaths compete, and the address keeps that', async ({ page }) => {
  await open(page);
  await expect(page.locator('.curves')).toContainText('It is a question about the implant');
  await expect(page.locator('.curves')).toContainText('The two kinds of curve part by');
  await page.getByRole('radio', { name: 'As patients live' }).click();
  await expect(page.locator('.curves figcaption')).toContainText('cumulative incidence (Aalen–Johansen)');
  await page.getByRole('radio', { name: 'Both' }).click();
  await expect(page.locator('[data-chart="revision-curves-both"] [data-line]')).toHaveCount(4);
  await expect(page.locator('.curves .reading dd')).toHaveCount(4);
  expect(page.url()).toContain('deaths=both');
  await page.reload();
  await expect(page.locator('[data-chart="revision-curves-both"] [data-line]')).toHaveCount(4, { timeout: 60_000 });
});

test('drawings and tables of the further parts can be taken away whole', async ({ page }) => {
  await open(page);
  await arrived(page);
  const save = async (name: string) => {
    const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name, includeHidden: true }).first().dispatchEvent('click')]);
    return { name: download.suggestedFilename(), text: await readFile(await download.path(), 'utf8') };
  };
  const drawing = await save('Download as SVG: Cumulative percent revision by reason');
  expect(drawing.name).toBe('reasons.svg');
  for (const reason of ['Loosening', 'Instability', 'Infection', 'Cuff failure', 'All-polyethylene keeled']) expect(drawing.text).toContain(`>${reason}<`);
  expect(drawing.text).not.toContain('var(--');
  const table = await save('Download as CSV: Hazard ratios under the alternatives');
  expect(table.text).toMatch(/# Estimator: E-values: VanderWeele and Ding 2017/);
  expect(table.text).toMatch(/^Fracture sequelae only,All-polyethylene keeled,age and sex,\d+,<5,/m);
});

for (const colorScheme of ['light', 'dark'] as const) {
  test.describe(`in ${colorScheme} colours`, () => {
    test.use({ colorScheme });
    test('the whole answer has no serious violation of the accessibility guidelines', async ({ page }) => {
      await open(page, './?deaths=both');
      await arrived(page);
      expect(await seriousViolations(page)).toEqual([]);
    });
  });
}

test.describe('on a phone', () => {
  test.use({ viewport: { width: 390, height: 800 } });
  test('the whole answer is read without scrolling sideways', async ({ page }) => {
    await open(page);
    await arrived(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= document.documentElement.clientWidth)).toBe(true);
  });
});

test('in print nothing is cut off', async ({ page }) => {
  await open(page);
  await arrived(page);
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 680, height: 1000 }); // A4 between the margins, in CSS pixels
  const wider = await page.locator('.answer table, .answer .paper svg').evaluateAll((parts) => parts.filter((part) => part.getBoundingClientRect().right > 681).map((part) => part.closest('[data-table], [data-forest], [data-chart]')?.outerHTML.slice(0, 80) ?? part.outerHTML.slice(0, 80)));
  expect(wider).toEqual([]);
});
