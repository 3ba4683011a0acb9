import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { openChromium } from '../browser';

/** What was measured of one load. Times in seconds, memory in bytes. */
export interface Measured {
  readonly stages: readonly { readonly label: string; readonly seconds: number }[];
  readonly seconds: number;
  readonly firstAnswer: number; // from the page that was left for it, after the load
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
    const before = peak();
    const started = await page.evaluate(() => {
      const { tasks, seen } = window as unknown as Lists;
      tasks.length = seen.length = 0;
      return performance.now();
    });
    await page.locator('input[type="file"]').first().setInputFiles(readdirSync(folder).map((name) => join(folder, name)));
    const ended = await Promise.race([
      page.locator('[data-loaded="own"]').waitFor({ timeout: 3_600_000 }).then(() => null),
      page.locator('.problems').waitFor({ timeout: 3_600_000 }).then(() => page.locator('.problems').innerText()),
    ]);
    if (ended !== null) throw new Error(ended);
    const { seen, tasks, now } = await page.evaluate(() => {
      const { tasks: long, seen: signs } = window as unknown as Lists;
      return { tasks: long, seen: signs, now: performance.now() };
    });
    const asking = performance.now();
    await page.getByRole('link', { name: 'Compare' }).click();
    await page.locator('.answer[data-pending="false"]').waitFor({ timeout: 600_000 });
    const firstAnswer = (performance.now() - asking) / 1000;
    const steps = seen.filter(({ label }) => label !== '');
    const silences = [...steps.map(({ at }) => at), now].map((at, i, all) => at - (all[i - 1] ?? started));
    return { stages: stagesOf(steps, now), seconds: (now - started) / 1000, firstAnswer, peak: peak(), before, longestTask: Math.max(0, ...tasks), longestSilence: Math.max(...silences) / 1000 };
  } finally {
    await close();
  }
}

function stagesOf(steps: readonly Seen[], end: number): Measured['stages'] {
  const first = steps.filter(({ label }, i) => label !== steps[i - 1]?.label);
  return first.map(({ at, label }, i) => ({ label: label.replace(/ …$/, ''), seconds: ((first[i + 1]?.at ?? end) - at) / 1000 }));
}
