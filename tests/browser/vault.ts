import { expect, type Page } from '@playwright/test';

export const passphrase = 'harbour lantern seven oxen';

/** Keeps what is ticked on the page Data, with a passphrase. */
export async function keepHere(page: Page): Promise<void> {
  const section = page.locator('#keep');
  await section.getByLabel('New passphrase').fill(passphrase);
  await section.getByLabel('The same once more').fill(passphrase);
  await section.getByRole('button', { name: 'Encrypt and keep' }).click();
  await expect(page.locator('[data-kept="unlocked"]')).toBeVisible();
}

/** Unlocks on whatever page is open. */
export async function unlock(page: Page, words = passphrase): Promise<void> {
  await page.getByLabel('Passphrase', { exact: true }).fill(words);
  await page.getByRole('button', { name: 'Unlock' }).click();
  await expect(page.getByRole('button', { name: 'Lock', exact: true }).first()).toBeVisible();
}
