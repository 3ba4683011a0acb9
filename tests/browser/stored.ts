import type { Page } from '@playwright/test';

/** The names of everything that the site has stored in the browser. */
export const stored = (page: Page): Promise<readonly string[]> => page.evaluate(async () => {
  const found: string[] = [];
  for (const { name } of await indexedDB.databases()) found.push(`database ${name ?? ''}`);
  for (const name of await caches.keys()) found.push(`cache ${name}`);
  found.push(...Object.keys(localStorage).map((key) => `local ${key}`), ...Object.keys(sessionStorage).map((key) => `session ${key}`));
  for await (const name of (await navigator.storage.getDirectory()).keys()) found.push(`file ${name}`);
  if (document.cookie !== '') found.push('cookie');
  for (const { scope } of await navigator.serviceWorker.getRegistrations()) found.push(`service worker ${scope}`);
  return found;
});
