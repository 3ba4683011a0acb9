import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext, type Page } from '@playwright/test';
import { smallExtract, type SmallExtract } from '../engine/smallExtract';
import { seriousViolations } from './axe';
import { ownFiles } from './ownExtract';
import { stored } from './stored';
import { keepHere, passphrase, unlock } from './vault';
import { expect, test } from './workbench';

// A registry analyst keeps an extract on a shared machine, and things go wrong on the way.

const harbour: SmallExtract = {
  registry: [{ name: 'Harbour registry' }], procedures: [{ procedure_id: 'p1', patient_id: 'a' }, { procedure_id: 'p2', patient_id: 'b' }], components: [{ procedure_id: 'p1' }, { procedure_id: 'p2' }],
};
const mountain: SmallExtract = { ...harbour, registry: [{ name: 'Mountain registry' }] };

async function open(page: Page): Promise<void> {
  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 90_000 });
}

async function load(page: Page, extract: SmallExtract | 'large'): Promise<void> {
  const files = extract === 'large' ? [...ownFiles()]
    : await Promise.all(smallExtract(extract).map(async ({ name, content }) => ({ name, mimeType: 'text/csv', buffer: Buffer.from(await content.arrayBuffer()) })));
  await page.locator('input[type="file"]').first().setInputFiles(files);
  await expect(page.getByRole('heading', { name: extract === 'large' ? /^Loaded: Tervania/ : `Loaded: ${String(extract.registry?.[0]?.['name'])}` })).toBeVisible({ timeout: 90_000 });
  await expect(page.locator('[data-loaded="own"]')).toBeVisible();
}

const fingerprint = (page: Page) => page.locator('.facts dd').last().innerText();
const bar = (page: Page) => page.locator('.vault-bar');
const keepTicked = (page: Page) => page.getByRole('button', { name: 'Keep what is ticked' }).click();

/** From now on sealing goes on for so many more pieces and then never ends, as in a tab that hangs. */
const hangAfter = (page: Page, pieces: number) => page.evaluate((many) => {
  const seal = crypto.subtle.encrypt.bind(crypto.subtle);
  let left = many;
  SubtleCrypto.prototype.encrypt = (...message) => (left-- > 0 ? seal(...message) : new Promise<ArrayBuffer>(() => undefined));
}, pieces);

test('what is kept is chosen, locked, unlocked and loads to the same again; a wrong passphrase says so; another passphrase can be set', async ({ page }) => {
  test.setTimeout(240_000);
  await open(page);
  await expect(page.locator('#keep')).toContainText('A forgotten passphrase cannot be recovered');
  await load(page, harbour);
  const before = await fingerprint(page), section = page.locator('#keep');
  await section.getByLabel('New passphrase').fill('too short');
  await section.getByRole('button', { name: 'Encrypt and keep' }).click();
  await expect(section).toContainText('The passphrase has 9 characters; it needs at least 15.');
  await section.getByLabel('New passphrase').fill(passphrase);
  await section.getByRole('button', { name: 'Encrypt and keep' }).click();
  await expect(section).toContainText('The passphrase was typed in two ways.');
  expect(await stored(page)).toEqual([]);
  expect(await seriousViolations(page)).toEqual([]);
  await keepHere(page);
  expect(await seriousViolations(page)).toEqual([]);

  await page.goto('./method/');
  await expect(bar(page)).toContainText('There are data kept on this machine, encrypted.');
  expect(await seriousViolations(page)).toEqual([]);
  await page.getByLabel('Passphrase', { exact: true }).fill('not this one at all');
  await page.getByRole('button', { name: 'Unlock' }).click();
  await expect(bar(page)).toContainText('This is not the passphrase.');
  await unlock(page);
  await page.getByRole('link', { name: 'What is kept' }).click();
  await expect(page.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });
  expect(await fingerprint(page)).toBe(before);

  await page.getByText('Change the passphrase').click();
  await section.getByLabel('Passphrase so far').fill(passphrase);
  await section.getByLabel('New passphrase').fill('another one of many words');
  await section.getByLabel('The same once more').fill('another one of many words');
  await section.getByRole('button', { name: 'Change it' }).click();
  await expect(section).toContainText('The new passphrase holds.');
  await bar(page).getByRole('button', { name: 'Lock' }).click();
  await expect(page.locator('[data-loaded="sample"]'), 'locking takes the kept extract off the pages').toBeVisible({ timeout: 90_000 });
  await page.getByLabel('Passphrase', { exact: true }).fill(passphrase);
  await page.getByRole('button', { name: 'Unlock' }).click();
  await expect(section).toContainText('This is not the passphrase.');
  await unlock(page, 'another one of many words');
  await expect(page.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });

  await section.getByLabel(/The kept extract/).uncheck();
  await keepTicked(page);
  await expect(section).not.toContainText('The extract that is loaded is the one that is kept');
  await page.goto('./method/');
  await page.getByRole('button', { name: 'Not now' }).click();
  await expect(bar(page)).not.toContainText('encrypted');
});

/** Files of a browser's profile that hold one of the texts. */
function filesWith(profile: string, texts: readonly string[]): readonly string[] {
  const needles = texts.flatMap((text) => [Buffer.from(text, 'latin1'), Buffer.from(text, 'utf16le')]);
  return readdirSync(profile, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile()).map(({ parentPath, name }) => join(parentPath, name))
    .filter((path) => { const bytes = readFileSync(path); return needles.some((needle) => bytes.includes(needle)); });
}

test('on the disk no line of the extract and no case is found in plain text', async ({ baseURL }) => {
  test.setTimeout(300_000);
  const profile = mkdtempSync(join(tmpdir(), 'profile-'));
  const { launchOptions } = test.info().project.use;
  const within = async (work: (page: Page) => Promise<void>): Promise<void> => {
    const context = await chromium.launchPersistentContext(profile, { ...launchOptions, ...(baseURL !== undefined && { baseURL }) });
    await work(context.pages()[0] ?? await context.newPage());
    await context.close();
  };
  const secrets = ['P000005', 'A000005', 'P020000', 'R000001', 'procedure_id,patient_id,procedure_date', 'frozen lantern', passphrase];
  try {
    await within(async (page) => {
      await open(page);
      await load(page, 'large');
      await page.getByRole('link', { name: 'Our unit' }).click();
      await page.getByRole('combobox', { name: 'Hospital' }).fill('H044');
      await page.getByRole('option', { name: 'H044' }).click();
      await page.getByRole('button', { name: 'Raise a question about this' }).click({ timeout: 90_000 });
      await page.getByRole('dialog').getByLabel('Your role').fill('keeper of the frozen lantern');
      await page.getByRole('dialog').getByRole('button', { name: 'Raise the question' }).click();
      await page.getByRole('dialog').getByRole('button', { name: 'Stay here' }).click();
      await page.getByRole('link', { name: 'Data', exact: true }).click();
      await keepHere(page);
    });
    expect(filesWith(profile, secrets)).toEqual([]);
    await within(async (page) => {
      await page.goto('./review/');
      await unlock(page);
      await expect(page.locator('.register li')).toHaveCount(1);
      await page.getByRole('link', { name: 'Data', exact: true }).click();
      await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 90_000 });
    });
    expect(filesWith(profile, secrets), 'nor after it was unlocked and loaded').toEqual([]);
    await within(async (page) => {
      await page.goto('./dictionary/');
      await page.evaluate(() => { localStorage.setItem('plain', 'procedure P000005'); });
    });
    expect(filesWith(profile, secrets), 'it would be found').not.toEqual([]);
  } finally {
    rmSync(profile, { recursive: true, force: true });
  }
});

test.describe('a tab that is closed in the middle of keeping', () => {
  test('for the first time leaves nothing', async ({ page, context }) => {
    await open(page);
    await load(page, harbour);
    await hangAfter(page, 4);
    await page.locator('#keep').getByLabel('New passphrase').fill(passphrase);
    await page.locator('#keep').getByLabel('The same once more').fill(passphrase);
    await page.getByRole('button', { name: 'Encrypt and keep' }).click();
    await expect(page.locator('.vault-bar .progress-line')).toBeAttached();
    await expect.poll(() => stored(page)).toEqual(['database vault']);
    await page.close();
    const next = await context.newPage();
    await open(next);
    await expect(next.locator('[data-kept="none"]')).toBeVisible();
    expect(await stored(next)).toEqual([]);
  });

  test('in place of an earlier extract leaves that one', async ({ page, context }) => {
    test.setTimeout(240_000);
    await open(page);
    await load(page, harbour);
    const before = await fingerprint(page);
    await keepHere(page);
    await load(page, mountain);
    await hangAfter(page, 4);
    await expect(page.getByLabel(/in place of the one that is kept: Harbour/)).toBeChecked();
    await keepTicked(page);
    await expect(page.locator('.vault-bar .progress-line')).toBeAttached();
    await page.close();
    const next = await context.newPage();
    await open(next);
    await unlock(next);
    await expect(next.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });
    expect(await fingerprint(next)).toBe(before);
    await load(next, mountain);
    await keepTicked(next);
    await expect(next.locator('#keep')).toContainText('The extract that is loaded is the one that is kept: Mountain registry');
  });
});

test('a disk that is full is said beforehand where the browser knows, and on the way where it does not; what was kept stays', async ({ page, context }) => {
  test.setTimeout(240_000);
  await open(page);
  const cdp = await context.newCDPSession(page), section = page.locator('#keep');
  await cdp.send('Storage.overrideQuotaForOrigin', { origin: new URL(page.url()).origin, quotaSize: 3_000_000 });
  await load(page, harbour);
  await keepHere(page);
  await load(page, 'large');
  await keepTicked(page); // this browser does not tell how much there is
  await expect(section.getByRole('alert')).toContainText('The disk, or the browser’s share of it, is full. What was kept before is as it was.', { timeout: 60_000 });
  await page.evaluate(() => { StorageManager.prototype.estimate = () => Promise.resolve({ quota: 3e6, usage: 1e6 }); });
  await keepTicked(page);
  await expect(section.getByRole('alert')).toContainText(/Keeping this needs about [\d.]+ MB, and the browser has 2 MB left for this site\./);
  await page.reload();
  await unlock(page);
  await expect(page.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });
  const { usage } = await page.evaluate(() => navigator.storage.estimate());
  expect(usage, 'what was left over is swept out').toBeLessThan(1_000_000);
});

test.describe('two tabs', () => {
  async function both(page: Page, context: BrowserContext): Promise<Page> {
    await open(page);
    await load(page, harbour);
    await keepHere(page);
    const other = await context.newPage();
    await open(other);
    return other;
  }

  test('each needs the passphrase; what one keeps, locks or removes the other is told', async ({ page, context }) => {
    test.setTimeout(240_000);
    const other = await both(page, context);
    await expect(other.locator('[data-kept="locked"]')).toBeVisible();
    await unlock(other);
    await expect(other.getByRole('heading', { name: 'Loaded: Harbour registry' })).toBeVisible({ timeout: 90_000 });
    await page.getByLabel('The question last asked on each page').check();
    await keepTicked(page);
    await expect(bar(other)).toContainText('Another tab changed what is kept.');
    await expect(other.getByLabel('The question last asked on each page')).toBeChecked();
    await bar(other).getByRole('button', { name: 'Lock' }).click();
    await expect(bar(page)).toContainText('Locked in another tab.');
    await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 90_000 });
    await unlock(page);
    await other.locator('#keep').getByRole('button', { name: 'Remove everything' }).click();
    await other.getByRole('alertdialog').getByRole('button', { name: 'Remove everything' }).click();
    await expect(other.locator('[data-kept="none"]')).toBeVisible();
    await expect(bar(page)).toContainText('Another tab removed everything that was kept.');
    await expect(page.locator('[data-kept="none"]')).toBeVisible();
    expect(await stored(page)).toEqual([]);
  });

  test('one removes everything while the other hangs in the middle of keeping: nothing comes back', async ({ page, context }) => {
    test.setTimeout(240_000);
    const other = await both(page, context);
    await load(page, mountain);
    await hangAfter(page, 4);
    await keepTicked(page);
    await expect(page.locator('.vault-bar .progress-line')).toBeAttached();
    await other.locator('#keep').getByRole('button', { name: 'Remove everything' }).click();
    await other.getByRole('alertdialog').getByRole('button', { name: 'Remove everything' }).click();
    await expect(other.locator('[data-kept="none"]')).toBeVisible();
    expect(await stored(other)).toEqual([]);
    await page.close();
    await other.reload();
    await expect(other.locator('[data-kept="none"]')).toBeVisible();
    expect(await stored(other)).toEqual([]);
  });
});
