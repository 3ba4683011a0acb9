import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, Page } from '@playwright/test';
import { csvFiles } from '../../sample-registry/csvFiles';
import { parquetFiles } from '../../sample-registry/parquetFiles';
import { simulate } from '../../sample-registry/simulate';
import { smallExtract } from '../engine/smallExtract';
import { answered, expect, open, test } from './workbench';

// A registry of moderate size: large enough that a load can be interrupted at every stage.
let folder = '';
test.beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'registry-'));
  const files = csvFiles(folder);
  simulate({ procedures: 100_000, seed: 5 }, files);
  files.close();
});
test.afterAll(() => { rmSync(folder, { recursive: true }); });

const files = (): string[] => readdirSync(folder).map((name) => join(folder, name));

/** Lets a test end workers as a crash would, without a word, and hear of long tasks on the page. */
async function watchEngines(context: BrowserContext): Promise<void> {
  await context.route('**/turbopack-worker-*.js', async (route) => { // the worker that starts the engines
    const response = await route.fetch();
    await route.fulfill({ response, body: `
      const threads = [], Plain = self.Worker;
      self.Worker = class extends Plain { constructor(...given) { super(...given); threads.push(this); } };
      new BroadcastChannel('engines').onmessage = () => { for (const thread of threads) thread.terminate(); };
      ${await response.text()}` });
  });
  await context.addInitScript(() => {
    const Plain = window.Worker;
    const threads: Worker[] = [];
    window.Worker = class extends Plain {
      constructor(...args: ConstructorParameters<typeof Worker>) {
        super(...args);
        threads.push(this);
      }
    };
    const tasks: number[] = [];
    new PerformanceObserver((list) => { tasks.push(...list.getEntries().map(({ duration }) => duration)); }).observe({ type: 'longtask' });
    Object.assign(window, { threads, tasks });
  });
}

interface Watched { readonly threads: Worker[]; readonly tasks: number[] }

/** Engines that live, of all tabs: each holds a lock. */
const engines = (page: Page): Promise<number> => page.evaluate(async () =>
  (await navigator.locks.query()).held?.filter(({ name }) => name?.startsWith('engine-')).length ?? 0);
const endEngines = (page: Page): Promise<void> => page.evaluate(() => {
  const calls = new BroadcastChannel('engines');
  calls.postMessage('end');
  calls.close();
});
const endWorker = (page: Page): Promise<void> => page.evaluate(() => { (window as unknown as Watched).threads.at(-1)?.terminate(); });

const progress = (page: Page) => page.locator('.progress-line');

async function data(page: Page): Promise<void> {
  await watchEngines(page.context());
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
}
const choose = (page: Page) => page.locator('input[type="file"]').first().setInputFiles(files());
/** Begins to load, and waits for a stage. */
async function loadUntil(page: Page, stage: string): Promise<void> {
  await choose(page);
  await page.waitForFunction((label) => document.querySelector('.progress-line [role="status"]')?.textContent.includes(label) === true, stage, { timeout: 60_000, polling: 'raf' }); // some stages are short
}
const whole = async (page: Page) => { await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 100_000 }); };

/** Keeps each line of progress that the page shows, however short. */
const listen = (page: Page): Promise<void> => page.evaluate(() => {
  const lines = new Set<string>();
  Object.assign(window, { lines });
  new MutationObserver(() => {
    for (const line of document.querySelectorAll('.progress-line [role="status"], .progress-line .detail')) lines.add(line.textContent);
  }).observe(document.body, { subtree: true, childList: true, characterData: true });
});
const said = (page: Page): Promise<string[]> => page.evaluate(() => [...(window as unknown as { lines: Set<string> }).lines]);

test('a load says its stage, rows and time left, and the page stays free for other things', async ({ page }) => {
  await data(page);
  await page.evaluate(() => { (window as unknown as Watched).tasks.length = 0; });
  await listen(page);
  await choose(page);
  await expect.poll(() => said(page), { timeout: 60_000 }).toContainEqual(expect.stringMatching(/^Reading procedures/));
  await page.getByRole('link', { name: 'Dictionary', exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('ictionary');
  await page.getByRole('link', { name: 'Data', exact: true }).click();
  await whole(page);
  const longest = await page.evaluate(() => Math.max(0, ...(window as unknown as Watched).tasks));
  expect(longest, 'longest task on the page, in milliseconds, which drew three pages meanwhile').toBeLessThan(1000);
  const all = await said(page);
  expect(all).toContainEqual(expect.stringMatching(/[\d,]+ of [\d,]+ rows/));
  expect(all).toContainEqual(expect.stringMatching(/left$/));
  await expect(page.locator('[data-table="records"]')).toContainText('procedures.csv');
});

/** Presses the button in the moment in which the page says a stage: some last for less than a look from outside takes. */
const cancelAt = (page: Page, stage: string): Promise<void> => page.evaluate((awaited) => {
  const look = new MutationObserver(() => {
    const line = document.querySelector('.progress-line');
    if (line?.querySelector('[role="status"]')?.textContent.includes(awaited) !== true) return;
    look.disconnect();
    line.querySelector('button')!.click();
  });
  look.observe(document.body, { subtree: true, childList: true, characterData: true });
}, stage);

for (const stage of ['Opening the database', 'Reading procedures', 'Checking procedures', 'Linking', 'Reading components', 'Working out follow-up']) {
  test(`cancelled while it says “${stage}”: the registry before stays, nothing goes on, and the next load works`, async ({ page }) => {
    await data(page);
    await cancelAt(page, stage);
    await choose(page);
    await expect(page.locator('.problems')).toContainText('Loading was cancelled.', { timeout: 60_000 });
    await expect(page.locator('.problems')).toContainText('stays loaded');
    await expect(progress(page)).toBeHidden();
    await expect.poll(() => engines(page), 'only the engine of the sample').toBe(1);
    if (stage === 'Reading components') {
      await page.getByRole('button', { name: 'Load again' }).click();
      await whole(page);
      expect(await engines(page)).toBe(1);
    }
    await page.getByRole('link', { name: 'Compare' }).click();
    await answered(page);
  });
}

test('the engine ends in mid-load without a word: it is said, and the extract can be loaded again', async ({ page }) => {
  await data(page);
  await loadUntil(page, 'Reading procedures');
  await endEngines(page); // that of the sample too
  await expect(page.locator('.problems')).toContainText('the memory was not enough');
  await expect(progress(page)).toBeHidden();
  await page.getByRole('button', { name: 'Load again' }).click();
  await whole(page);
  expect(await engines(page)).toBe(1);
});

test('the engine ends while nothing is asked of it: the page says so and loads again', async ({ page }) => {
  await watchEngines(page.context());
  await open(page);
  await endEngines(page);
  await expect(page.locator('.problems')).toContainText('No registry is loaded');
  await expect(page.locator('.problems')).toContainText('it has to be loaded again');
  await page.getByRole('button', { name: 'Load again' }).click();
  await answered(page);
  await expect(page.locator('.problems')).toBeHidden();
});

for (const when of ['in mid-load', 'while nothing is asked of it'] as const) {
  test(`the worker that holds the data ends ${when}: another takes its place, and the data can be loaded again`, async ({ page }) => {
    await data(page);
    if (when === 'in mid-load') await loadUntil(page, 'Reading components');
    await endWorker(page);
    await expect(page.locator('.problems')).toContainText('The worker that held the data ended unexpectedly');
    await expect(progress(page)).toBeHidden();
    await expect.poll(() => engines(page), 'the engines end with it').toBe(0);
    await page.getByRole('button', { name: 'Load again' }).click();
    await expect(page.locator(when === 'in mid-load' ? '[data-loaded="own"]' : '[data-loaded="sample"]')).toBeVisible({ timeout: 100_000 });
    expect(await engines(page)).toBe(1);
  });
}

test('two tabs hold each their own data, and a tab that closes in mid-load leaves nothing behind', async ({ page, context }) => {
  await data(page);
  const other = await context.newPage();
  await other.goto('./data/');
  await expect(other.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
  await loadUntil(other, 'Reading components');
  expect(await engines(page), 'two samples and a load').toBe(3);
  await other.close();
  await expect.poll(() => engines(page), 'only this tab’s').toBe(1);
  await choose(page);
  await whole(page);
  const third = await context.newPage();
  await third.goto('./data/');
  await expect(third.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 60_000 });
  await expect(page.locator('[data-loaded="own"]')).toBeVisible();
  await page.getByRole('link', { name: 'Compare' }).click();
  await answered(page);
  await expect(page.locator('.answer')).toContainText('sample-100000-seed-5');
  const stored = await third.evaluate(async () => [await indexedDB.databases(), await caches.keys(), localStorage.length, sessionStorage.length]);
  expect(stored, 'loading stores nothing').toEqual([[], [], 0, 0]);
});

test('an extract as Parquet, and one with empty and ragged lines, load under the page’s policy', async ({ page }) => {
  const parquet = mkdtempSync(join(tmpdir(), 'parquet-'));
  try {
    const sink = parquetFiles(parquet);
    simulate({ procedures: 2000, seed: 5 }, sink);
    sink.close();
    await data(page);
    await page.locator('input[type="file"]').first().setInputFiles(readdirSync(parquet).map((name) => join(parquet, name)));
    await whole(page);
    await expect(page.locator('[data-table="records"]')).toContainText('procedures.parquet');
    const ragged = await Promise.all(smallExtract({ procedures: [{ procedure_id: 'p1', patient_id: 'a' }] }).map(async ({ name, content }) =>
      ({ name, mimeType: 'text/csv', buffer: Buffer.from(name === 'procedures.csv' ? `${await content.text()}\nx,y\n` : await content.text()) })));
    await page.locator('input[type="file"]').first().setInputFiles(ragged);
    await expect(page.locator('[data-table="rules-that-failed"]')).toContainText('The line has more or fewer cells than the header');
  } finally {
    rmSync(parquet, { recursive: true });
  }
});
