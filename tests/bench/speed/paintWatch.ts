import type { Page } from '@playwright/test';

interface Watch { readonly begin: (selector: string, changed: string | null, path: string | null) => void; tasks: number[]; painted: Promise<number> }

/**
 * From the next click or key of the person to the frame in which the page shows what it led to, on the page's own clock: installed before the page's own scripts.
 * No part of the site knows of it.
 */
export async function watchPaints(page: Page): Promise<void> {
  await page.addInitScript('globalThis.__name = (named) => named'); // tsx calls it where functions have names
  await page.addInitScript(() => {
    const watch: Watch = {
      tasks: [], painted: Promise.resolve(NaN),
      begin: (selector, changed, path) => {
        const content = () => (changed === null ? '' : [...document.querySelectorAll(changed)].map((e) => e.getAttribute('d')).join());
        const before = content();
        let from = NaN;
        for (const kind of ['click', 'keydown']) document.addEventListener(kind, (event) => { if (Number.isNaN(from)) from = event.timeStamp; }, { capture: true, once: true });
        watch.painted = new Promise((resolve) => {
          const isShown = () => {
            if (Number.isNaN(from) || document.querySelector(selector) === null || (path !== null && location.pathname !== path)) return false;
            const now = content();
            return changed === null || (now !== before && now !== '');
          };
          const observer = new MutationObserver(() => { // what it takes is part of the task that it looks at: little, and nothing about texts
            if (!isShown()) return;
            observer.disconnect();
            requestAnimationFrame(() => { // a message is taken after the frame is drawn
              const { port1, port2 } = new MessageChannel();
              port1.onmessage = () => { resolve(performance.now() - from); };
              port2.postMessage(null);
            });
          });
          observer.observe(document, { subtree: true, childList: true, attributeFilter: ['d', 'data-pending'] });
        });
      },
    };
    new PerformanceObserver((list) => { watch.tasks.push(...list.getEntries().map(({ duration }) => duration)); }).observe({ type: 'longtask' });
    Object.assign(window, { watch });
  });
}

const watchOf = 'watch'; // its name on the window

export interface Shown {
  /** There once the answer is. */
  readonly selector: string;
  /** Paths of which the drawing must have become another one. */
  readonly changed?: string;
  /** Of the page, where the click leads to another one. */
  readonly path?: string;
}

/** Milliseconds from what the person does to the frame that shows what it led to. */
export async function paintAfter(page: Page, { selector, changed, path }: Shown, act: () => Promise<void>): Promise<number> {
  await page.evaluate(([name, ...asked]) => { (window as unknown as Record<string, Watch>)[name]!.begin(...asked); },
    [watchOf, selector, changed ?? null, path ?? null] as const);
  await act();
  const late = new Promise<never>((_, reject) => { setTimeout(() => { reject(new Error('not shown within ten minutes')); }, 600_000).unref(); });
  return Promise.race([page.evaluate((name) => (window as unknown as Record<string, Watch>)[name]!.painted, watchOf), late]);
}

/** The longest task on the page's thread since it was last asked, in ms; 0 where none was over 50. */
export const longestTask = (page: Page): Promise<number> => page.evaluate((name) => {
  const watch = (window as unknown as Record<string, Watch>)[name]!, longest = Math.max(0, ...watch.tasks);
  watch.tasks = [];
  return longest;
}, watchOf);
