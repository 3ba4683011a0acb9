import { test as base, expect, type Page } from '@playwright/test';

/** What must never happen on any page: a request that leaves our own origin, an error on the console, a violation of the policy. */
interface Watch { readonly offences: string[] }

export const test = base.extend<{ watch: Watch }>({
  watch: [async ({ context, baseURL }, use) => {
    const offences: string[] = [];
    const own = new URL(baseURL ?? '').origin;
    const isOwn = (address: string) => /^(blob|data):/.test(address) ? address.startsWith('data:') || address.startsWith(`blob:${own}`) : new URL(address).origin === own;
    // requests of pages and of workers alike
    context.on('request', (request) => { if (!isOwn(request.url())) offences.push(`request to ${request.url()}`); });
    context.on('console', (message) => { if (message.type() === 'error') offences.push(`console: ${message.text()}`); });
    context.on('weberror', (found) => { offences.push(`error: ${found.error().message}`); });
    await use({ offences });
    expect(offences).toEqual([]);
  }, { auto: true }],
});
export { expect };

/** Opens an address and waits until its question is answered. */
export async function open(page: Page, address = './'): Promise<void> {
  await page.goto(address);
  await answered(page);
}

export async function answered(page: Page): Promise<void> {
  await expect(page.locator('.answer[data-pending="false"]')).toBeVisible({ timeout: 60_000 });
}

/** Opens a part of the question's sentence, does something in it and closes it. */
export async function edit(page: Page, part: string, change: (dialog: ReturnType<Page['getByRole']>) => Promise<void>): Promise<void> {
  await page.getByRole('button', { name: new RegExp(`^${part}:`) }).click();
  const dialog = page.getByRole('dialog', { name: part });
  await change(dialog);
  await page.keyboard.press('Escape');
  await expect(dialog).toBeHidden();
}
