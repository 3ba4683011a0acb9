import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Locator, Page } from '@playwright/test';
import { site } from '../../../lib/site/paths';
import { serve } from '../../../lib/site/serve';
import { openChromium } from '../browser';
import type { InChromium } from './measured';
import { longestTask, paintAfter, watchPaints, type Shown } from './paintWatch';
import { reasonOf, summary, type Cell } from './timing';

// In a process of its own: the built site in Chromium, used as a person does, each time to the frame in which the answer is seen.
const [folder = '', runsAsked = '3'] = process.argv.slice(2), runs = Number(runsAsked);
const curves: Shown = { selector: '[data-chart="revision-curves"]', changed: '[data-chart="revision-curves"] [data-line]' };
const complete = '.answer[data-pending="false"]';

const { address, server } = await serve(site, Number(process.env['WORKBENCH_PORT'] ?? 4190));
const times: Record<string, Cell> = {};
let longest = { ms: 0, in: '' };
const { browser, peak, close } = await openChromium();
try {
  const page = await browser.newPage();
  await watchPaints(page);
  await page.goto(new URL('?compare=design&adjust=age&adjust=sex', address).href);
  await page.locator(complete).waitFor({ timeout: 300_000 });
  const loadSeconds = await load(page);
  await longestTask(page);
  await part(page, 'firstAnswer', 1, () => paintAfter(page, { ...curves, path: '/' }, () => linkTo(page, '/').click()));
  await quiet(page);
  await noteLongest(page, 'firstAnswer');
  await page.locator('.phrase[aria-label^="Patients:"]').click();
  const women = page.locator('[role="dialog"] label', { hasText: 'Women' });
  const figure: number[] = [], whole: number[] = [];
  await part(page, 'filterChange', 2 * runs, async () => { // to women alone, to everybody again, …
    const shown = await paintAfter(page, curves, () => women.click());
    figure.push(shown);
    const began = performance.now();
    await page.locator(complete).waitFor({ timeout: 600_000 });
    whole.push(shown + performance.now() - began);
    await quiet(page);
    return shown;
  });
  if (whole.length > 0) times['filterChangeWhole'] = summary(whole);
  await page.keyboard.press('Escape');
  await part(page, 'screening', 1, () => paintAfter(page, { selector: complete, path: '/screening/' }, () => linkTo(page, '/screening/').click()));
  await part(page, 'funnel', 1, () => paintAfter(page, { selector: complete, path: '/unit/' }, () => linkTo(page, '/unit/').click()));
  const result: InChromium = { version: browser.browser()?.version() ?? await page.evaluate(() => navigator.userAgent), loadSeconds, peak: peak(), longestTask: longest.ms, longestIn: longest.in, times };
  process.stdout.write(JSON.stringify(result));
} finally {
  await close();
  server.close();
}

/** Found by its address: Playwright looks for a name through the whole page, on the page's thread, for as long as a long task. */
function linkTo(page: Page, path: string): Locator {
  return page.locator(`nav a[href="${path}"]`).first();
}

/** Loads the folder through the page, and gives the seconds. */
async function load(page: Page): Promise<number> {
  await page.getByRole('link', { name: 'Data' }).click();
  await page.locator('[data-loaded="sample"]').waitFor({ timeout: 300_000 });
  const began = performance.now();
  await page.locator('input[type="file"]').first().setInputFiles(readdirSync(folder).map((name) => join(folder, name)));
  const refused = await Promise.race([
    page.locator('[data-loaded="own"]').waitFor({ timeout: 3_600_000 }).then(() => null),
    page.locator('.problems').waitFor({ timeout: 3_600_000 }).then(() => page.locator('.problems').innerText()),
  ]);
  if (refused !== null) throw new Error(refused);
  return (performance.now() - began) / 1000;
}

/** All chapters of the last answer are there. Asked now and then: in every frame it would keep the page drawing, and take part in the tasks that are timed. */
async function quiet(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector('.progress-line, .chapter-waits') === null, undefined, { timeout: 300_000, polling: 250 });
}

async function part(page: Page, name: string, times_: number, work: (run: number) => Promise<number>): Promise<void> {
  const took: number[] = [];
  try {
    for (let run = 0; run < times_; ++run) took.push(await work(run));
    times[name] = summary(took);
  } catch (error) {
    times[name] = { failed: reasonOf(error) };
  }
  process.stderr.write(`${name}: ${JSON.stringify(times[name])}\n`);
  await noteLongest(page, name);
}

/** The longest task since the last part. */
async function noteLongest(page: Page, name: string): Promise<void> {
  const ms = await longestTask(page);
  process.stderr.write(`${name}: longest task ${ms.toFixed(0)} ms\n`);
  if (ms > longest.ms) longest = { ms, in: name };
}
