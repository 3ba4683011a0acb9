import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from '@playwright/test';
import { openChromium } from '../browser';

/** What was measured of one load. Times in seconds, memory in bytes. */
export interface Measured {
  readonly stages: readonly { readonly label: string; readonly seconds: number }[];
  readonly seconds: number;
  readonly firstFigure: number; // the curves, from the page that was left for them, after the load
  readonly firstAnswer: number; // the whole answer
  readonly peak: number;
  readonly before: number; // memory with the sample registry loaded
  readonly longestTask: number; // on the page's thread
  readonly longestSilence: number; // between two signs of progress
}

interface Seen { readonly at: number; readonly label: string }
interface Lists { readonly tasks: number[]; readonly seen: Seen[] }

/** Loads the files of a folder through the page of the built site, as a person would. */
export async function loadInBrowser(address: string, folder: string): Promise<Measured> {
  const { browser, peak, close } = await openChromium();
  try {
    const page = await browser.newPage();
    await page.addInitScript(() => {
      const tasks: number[] = [], seen: Seen[] = [];
      new PerformanceObserver((list) => { tasks.push(...list.getEntries().map(({ duration }) => duration)); }).observe({ type: 'longtask' });
      Object.assign(window, { tasks, seen });
      document.addEventListener('DOMContentLoaded', () => {
        new MutationObserver(() => {
          const line = document.querySelector('.progress-line'), label = line?.querySelector('[role=status]')?.textContent ?? '';
          seen.push({ at: performance.now(), label });
        }).observe(document.body, { subtree: true, childList: true, characterData: true, attributes: true });
      });
    });
    await page.goto(new URL('data/', address).href);
    await page.locator('[data-loaded="sample"]').waitFor({ timeout: 300_000 });
    const names = readdirSync(folder), isMapped = names.includes('mapping.json'), files = names.filter((name) => name !== 'mapping.json').map((name) => join(folder, name));
    if (isMapped) await map(page, join(folder, 'mapping.json'), files);
    const before = peak();
    const started = await page.evaluate(() => {
      const { tasks, seen } = window as unknown as Lists;
      tasks.length = seen.length = 0;
      return performance.now();
    });
    if (isMapped) await page.getByRole('button', { name: 'Load the extract' }).click();
    else await page.locator('input[type="file"]').first().setInputFiles(files);
    const ended = await Promise.race([
      page.locator('[data-loaded="own"]').waitFor({ timeout: 3_600_000 }).then(() => null),
      page.locator('.problems').waitFor({ timeout: 3_600_000 }).then(() => page.locator('.problems').innerText()),
      new Promise<string>((resolve) => { page.once('crash', () => { resolve('the page crashed'); }); }),
    ]);
    if (ended !== null) throw new Error(ended);
    const { seen, tasks, now } = await page.evaluate(() => {
      const { tasks: long, seen: signs } = window as unknown as Lists;
      return { tasks: long, seen: signs, now: performance.now() };
    });
    let asking = performance.now();
    const sinceAsked = async (selector: string): Promise<number> => {
      await page.locator(selector).first().waitFor({ timeout: 120_000, state: 'attached' });
      return (performance.now() - asking) / 1000;
    };
    await page.getByRole('navigation', { name: 'Pages', exact: true }).getByRole('link', { name: 'Compare' }).click();
    if (isMapped) { // the opening question compares designs, which these files do not hold
      await sinceAsked('.answer[data-pending="false"]');
      asking = performance.now();
      await page.getByRole('button', { name: 'Ask without it' }).click();
    }
    const firstFigure = await sinceAsked('[data-chart="revision-curves"] [data-line]'), firstAnswer = await sinceAsked('.answer[data-pending="false"]');
    const steps = seen.filter(({ label }) => label !== '');
    const silences = [...steps.map(({ at }) => at), now].map((at, i, all) => at - (all[i - 1] ?? started));
    return { stages: stagesOf(steps, now), seconds: (now - started) / 1000, firstFigure, firstAnswer, peak: peak(), before, longestTask: Math.max(0, ...tasks), longestSilence: Math.max(...silences) / 1000 };
  } finally {
    await close();
  }
}

/** Opens a mapping and the files in the assistant, and says that all is right as it is. */
async function map(page: Page, mapping: string, files: readonly string[]): Promise<void> {
  await page.getByRole('link', { name: 'Bring your own' }).first().click();
  await page.locator('.mapping-file input[type="file"]').setInputFiles(mapping);
  await page.locator('.mapping-file').getByText('is in use').waitFor();
  await page.locator('#files input[type="file"]').first().setInputFiles([...files]);
  await page.locator('[data-source]').first().waitFor({ timeout: 300_000 });
  await page.getByText('Looking at the first rows').waitFor({ state: 'hidden', timeout: 300_000 });
  for (const right of [page.getByRole('checkbox', { name: 'The rows below look right' }), page.getByRole('checkbox', { name: /^Revisions are known for every procedure/ })]) {
    for (const box of await right.all()) await box.check();
  }
  for (const button of await page.getByRole('button', { name: /^That is right/ }).all()) await button.click();
}

function stagesOf(steps: readonly Seen[], end: number): Measured['stages'] {
  const first = steps.filter(({ label }, i) => label !== steps[i - 1]?.label);
  return first.map(({ at, label }, i) => ({ label: label.replace(/ …$/, ''), seconds: ((first[i + 1]?.at ?? end) - at) / 1000 }));
}
