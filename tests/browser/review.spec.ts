import { readFile } from 'node:fs/promises';
import type { Browser, Page } from '@playwright/test';
import { seriousViolations } from './axe';
import { keepHere, unlock } from './vault';
import { answered, expect, test } from './workbench';

// A committee raises a question about a hospital of the sample registry, in which a multiplied hazard was planted, and takes it to its end.

const planted = 'H044';
const day = (inDays: number): string => new Date(Date.now() + inDays * 86_400_000).toISOString().slice(0, 10);

async function raise(page: Page): Promise<void> {
  await page.goto('./unit/');
  await answered(page);
  await page.getByRole('combobox', { name: 'Hospital' }).fill(planted);
  await page.getByRole('option', { name: planted }).click();
  await expect(page.locator('.answer[data-pending="false"][data-about="one"]')).toBeVisible({ timeout: 60_000 });
  expect(await page.evaluate(() => indexedDB.databases()), 'nothing is stored').toEqual([]);
  await page.getByRole('button', { name: 'Raise a question about this' }).click();
  const dialog = page.getByRole('dialog');
  await expect(dialog).toContainText('A question, not a verdict');
  await dialog.getByRole('button', { name: 'Raise the question' }).click();
  await expect(dialog).toContainText('Say in which role');
  await dialog.getByLabel('Your role').fill('statistician');
  expect(await seriousViolations(page)).toEqual([]);
  await dialog.getByRole('button', { name: 'Raise the question' }).click();
  await dialog.getByRole('link', { name: 'Go to the question' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Observed and expected revisions beside the peers’' })).toBeVisible();
  expect(await page.evaluate(() => indexedDB.databases()), 'a question is held for the session and stored nowhere').toEqual([]);
  await expect(page.getByRole('note')).toContainText('Kept for this session only: closing or reloading the tab loses what is not exported yet (1 entry)');
}

/** Raises a question and keeps the cases on the machine. */
async function raiseAndKeep(page: Page): Promise<void> {
  await raise(page);
  await page.getByRole('note').getByRole('link', { name: 'keep it on this machine' }).click();
  await keepHere(page);
  await page.getByRole('navigation', { name: 'Pages', exact: true }).getByRole('link', { name: 'Review' }).click();
  await page.getByRole('link', { name: 'Observed and expected revisions beside the peers’' }).click();
  await expect(page.locator('.case-facts')).toBeVisible();
  await expect(page.locator('.review')).toContainText('Kept on this machine, encrypted.');
}

/** Opens an address anew, which locks what is kept, and unlocks it. */
async function visit(page: Page, address: string): Promise<void> {
  await page.goto(address);
  await unlock(page);
}

const check = (page: Page, label: string) => page.locator('[data-check]').filter({ has: page.getByRole('heading', { name: label }) });
const history = (page: Page) => page.locator('.history > li');

async function record(page: Page, label: string, result: string, words: string): Promise<void> {
  const part = check(page, label);
  await part.getByRole('button', { name: `Record: ${label}` }).click();
  await part.getByText(result, { exact: true }).click();
  await part.getByLabel('What was looked at and found').fill(words);
  await part.getByLabel('Your role').fill('statistician');
  await part.getByRole('button', { name: 'Record the check' }).click();
  // The form that closes moves what is below it, also from under a pointer that is pressed there.
  await expect(part.getByRole('alert').or(part.getByRole('button', { name: `Record again: ${label}` }))).toBeVisible();
}

/** Writes an entry of a kind; `fill` enters what it needs. */
async function write(page: Page, kind: string, fill: (form: ReturnType<Page['locator']>) => Promise<void>, role = 'chair'): Promise<void> {
  const part = page.locator('#write');
  await part.getByRole('radio', { name: kind, exact: true }).click();
  await fill(part);
  await part.getByLabel('Your role').fill(role);
  await part.getByRole('button', { name: `Record: ${kind}` }).click();
  await expect(part.getByRole('textbox').first()).toHaveValue('');
}

const decide = (page: Page, decision: string, role: string) => write(page, 'Decision', async (form) => {
  await form.getByText(decision, { exact: true }).click();
  await form.getByLabel('Reasons').fill(`the checks leave a difference: ${decision.toLowerCase()}`);
}, role);

async function exported(page: Page, button: string): Promise<string> {
  await page.getByRole('button', { name: button }).click();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('alertdialog').getByRole('button', { name: 'Export the file' }).click()]);
  return readFile(await download.path(), 'utf8');
}

/** Takes a case file in, on a page that is opened anew. */
async function take(page: Page, text: string, open = (address: string) => visit(page, address)): Promise<void> {
  await open('./review/');
  await expect(page.locator('#content [data-settled]')).toBeVisible();
  await page.locator('input[type="file"]').setInputFiles({ name: 'cases.json', mimeType: 'application/json', buffer: Buffer.from(text) });
}

async function another(browser: Browser, baseURL: string | undefined): Promise<Page> {
  return (await browser.newContext({ ...(baseURL !== undefined && { baseURL }) })).newPage();
}

test('a question is raised, checked in order, put to the unit, decided and kept; nobody can change its file unseen', async ({ page, browser, baseURL }) => {
  test.setTimeout(480_000);
  await raiseAndKeep(page);
  const address = page.url();
  expect(address, 'no identifier of a unit in an address').not.toContain(planted);
  await expect(page.locator('.case-facts')).toContainText('The extract that is loaded is the same');
  await expect(page.locator('.case-facts')).toContainText('History whole: 1 entry');

  await record(page, 'Implant', 'does not explain it', 'tried before its time');
  await expect(check(page, 'Implant').getByRole('alert')).toContainText('“Implant” comes after “Data quality”, which is neither recorded nor set aside');
  await expect(history(page)).toHaveCount(1);
  await record(page, 'Data quality', 'explains a part of it', 'two revisions were linked to the wrong side');
  await expect(page.locator('.case-facts')).toContainText('being checked');
  await record(page, 'Case mix', 'does not explain it', 'fewer fractures than the peers');
  await record(page, 'Concentration', 'does not explain it', 'four surgeons alike');
  await expect(history(page)).toHaveCount(5);

  await page.locator('#write').getByRole('radio', { name: 'Decision' }).click();
  await page.locator('#write').getByText('No action', { exact: true }).click();
  await page.locator('#write').getByLabel('Reasons').fill('too early');
  await page.locator('#write').getByLabel('Your role').fill('chair');
  await page.locator('#write').getByRole('button', { name: 'Record: Decision' }).click();
  await expect(page.locator('#write').getByRole('alert')).toContainText('a decision comes after the checks');
  await record(page, 'Implant', 'set aside, with a reason', 'all of one model; asked elsewhere');
  await record(page, 'Practice', 'cannot tell', 'to be asked of the unit');

  await write(page, 'Letter to the unit', async (form) => {
    await form.getByLabel('To', { exact: true }).fill('head of department');
    await form.getByLabel('Reply asked for by').fill(day(30));
    await form.getByLabel('What the letter asks').fill('the list of own cases is to be checked');
  });
  await expect(page.locator('.case-facts')).toContainText('with the unit');
  await write(page, 'Reply of the unit', (form) => form.getByLabel('What the unit says').fill('<b>one</b> was a planned second stage'), 'head of the unit');
  await write(page, 'Conflict of interest', (form) => form.getByLabel('Which interest').fill('one member works there and stays out'));
  await write(page, 'Dissent', (form) => form.getByLabel('Who sees it otherwise').fill('the clinical member would wait'), 'clinical member');
  await write(page, 'State', async (form) => {
    await form.getByText('before the committee', { exact: true }).click();
    await form.getByLabel('Reason').fill('the reply is in');
  });
  await page.locator('#history').getByRole('button', { name: 'Correct entry 10' }).click();
  await page.locator('#write').getByLabel('What the unit says').fill('two were planned second stages');
  await page.locator('#write').getByRole('button', { name: 'Record the correction' }).click();
  await expect(history(page).nth(9)).toContainText('Corrected by entry 14');
  await expect(history(page).nth(9)).toContainText('<b>one</b>');
  expect(await seriousViolations(page)).toEqual([]);

  const before = await exported(page, 'Export this case');
  expect(before).toContain(planted);
  await page.reload();
  await expect(page.locator('.problems'), 'locked until the passphrase is given').toContainText('unlock what is kept');
  await unlock(page);
  await expect(history(page)).toHaveCount(14);
  await decide(page, 'Watch, and look again', 'chair');
  await write(page, 'Next look', async (form) => {
    await form.getByLabel('Date of the next look').fill(day(365));
    await form.getByLabel('What is to be looked at').fill('the next extract');
  });
  await expect(page.locator('.case-facts')).toContainText('decided');
  await expect(history(page)).toHaveCount(17);

  // Another member goes on from the file as it was, and decides otherwise.
  const other = await another(browser, baseURL);
  await take(other, before, async (address) => { await other.goto(address); });
  await expect(other.locator('.said')).toContainText('A case is new here, with 14 entries.');
  await other.getByRole('link', { name: 'Observed and expected revisions beside the peers’' }).click();
  await expect(other.locator('.evidence')).toContainText('In words');
  await decide(other, 'Restrict use (local decision)', 'department head');
  await expect(history(other)).toHaveCount(16);
  const theirs = await exported(other, 'Export this case');
  await other.context().close();

  await take(page, theirs);
  await expect(page.locator('.said')).toContainText('2 entries added to a case that was here. The file is older than what is here by 3 entries; they stay.');
  await visit(page, address);
  const conflict = page.locator('[data-conflict="decision"]');
  await expect(conflict.locator('.side')).toHaveCount(2);
  await expect(conflict).toContainText('Watch, and look again');
  await expect(conflict).toContainText('Restrict use');
  await expect(page.locator('#write')).toBeHidden();
  expect(await seriousViolations(page)).toEqual([]);
  await conflict.getByRole('radio', { name: /Watch, and look again/ }).check();
  await page.locator('#conflict').getByLabel('Why it stands').fill('agreed by both at the meeting');
  await page.locator('#conflict').getByLabel('Your role').fill('chair');
  await page.locator('#conflict').getByRole('button', { name: 'Settle the two histories' }).click();
  await expect(page.locator('#conflict')).toBeHidden();
  await expect(page.locator('.case-facts')).toContainText('Watch, and look again');
  await expect(history(page)).toHaveCount(20);

  const whole = await exported(page, 'Export this case');
  await visit(page, './review/');
  await page.getByRole('button', { name: 'Remove all cases' }).click();
  await page.getByRole('alertdialog').getByRole('button', { name: 'Remove them' }).click();
  await expect(page.locator('.nothing')).toBeVisible();
  await take(page, whole);
  await expect(page.locator('.said')).toContainText('A case is new here, with 20 entries.');
  expect(await exported(page, 'Export all cases')).toBe(whole);

  for (const { what, text, says } of [
    { what: 'a word was changed', text: whole.replace('four surgeons alike', 'one surgeon alone'), says: 'Entry 5 of 20: the content must have the hash that is its id' },
    { what: 'it was cut', text: whole.slice(0, -200), says: 'cut short' },
    { what: 'it is something else', text: '{"sun": true}', says: 'not a case file' },
  ]) {
    await take(page, text);
    await expect(page.locator('.problems'), what).toContainText(says);
    await expect(page.locator('.problems'), what).not.toContainText(planted);
    await expect(page.locator('.register li')).toHaveCount(1);
  }
  await visit(page, address);
  await expect(page.locator('.case-facts')).toContainText('History whole: 20 entries');
});

test('dossier, letter and meeting pack are for paper', async ({ page }) => {
  test.setTimeout(180_000);
  await raiseAndKeep(page);
  const id = new URL(page.url()).searchParams.get('case') ?? '';
  const printed = async (address: string) => {
    await visit(page, address);
    await expect(page.locator('#content [data-settled]')).toBeVisible();
  };
  const pdf = async () => {
    await page.emulateMedia({ media: 'print' });
    const file = await page.pdf({ preferCSSPageSize: true });
    expect([...file.toString('latin1').matchAll(/\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/g)].every(([, width, height]) => Math.round(Number(width)) === 595 && Math.round(Number(height)) === 842), 'every page is A4').toBe(true);
    return file;
  };
  await printed(`./review/?case=${id}&print=dossier`);
  const dossier = await pdf();
  expect(dossier.length).toBeGreaterThan(50_000);
  await expect(page.locator('.site-header')).toBeHidden();
  await expect(page.getByRole('button', { name: /^Print/ })).toBeHidden();
  for (const text of ['Confidential', 'SHA-256 of the data', 'Method: ', 'A flag is a question and no verdict', 'Chair, date', 'History', 'Checks, in their order']) await expect(page.locator('.sheet')).toContainText(text);
  expect(await page.locator('.sheet .inside').evaluateAll((all) => all.filter((one) => getComputedStyle(one).display !== 'none').length), 'small counts are withheld').toBe(0);

  await page.emulateMedia({ media: 'screen' });
  await printed('./review/?print=meeting');
  await expect(page.locator('.sheet')).toHaveCount(2);
  await expect(page.locator('.sheet').first()).toContainText('Order of business');
  await pdf();

  await page.emulateMedia({ media: 'screen' });
  await printed(`./review/?case=${id}&print=letter`);
  await expect(page.locator('#content')).not.toContainText(planted);
  await page.getByRole('button', { name: 'It goes to the unit alone: show the letter' }).click();
  const sheet = page.locator('.sheet');
  await expect(sheet).toContainText('please check', { timeout: 60_000 });
  for (const text of [planted, 'no verdict', 'Reply asked for by', 'in your own words', 'Enclosed: your own procedures to check']) await expect(sheet).toContainText(text);
  const observed = Number(/(\d+) revisions? (?:was|were) observed/.exec(await sheet.innerText())?.[1] ?? NaN);
  expect(await sheet.locator('.own-cases tbody tr').count()).toBeGreaterThanOrEqual(Number.isNaN(observed) ? 10 : observed);
  await pdf();
});

test('two tabs write into the same case and nothing is lost', async ({ page, context }) => {
  await raiseAndKeep(page);
  const second = await context.newPage();
  await visit(second, page.url());
  await expect(history(second)).toHaveCount(1);
  const note = (tab: Page, words: string) => write(tab, 'Note', (form) => form.getByLabel('Note', { exact: true }).fill(words));
  await note(page, 'from the first tab');
  await expect(history(second)).toHaveCount(2);
  await note(second, 'from the second tab');
  await expect(history(page)).toHaveCount(3);
  await expect(page.locator('.case-facts')).toContainText('History whole: 3 entries');
});

test('an address of a case that is not here says so', async ({ page }) => {
  await page.goto('./review/?case=6f1f3a52-5d0e-4f0b-9f43-2f9f0a7f5a11');
  await expect(page.locator('.problems')).toContainText('This case is not open here');
  await page.goto('./review/?case=H044');
  await expect(page.locator('.problems')).toContainText('names no case');
});

test('cases that an earlier version stored as they are can be brought in, and their plain copy goes once they are kept', async ({ page, browser, baseURL }) => {
  test.setTimeout(180_000);
  const other = await another(browser, baseURL);
  await raise(other);
  const file = await exported(other, 'Export this case');
  await other.context().close();
  const { content } = JSON.parse(file) as { content: { cases: { entries: { id: string }[] }[] } };
  await page.goto('./review/');
  await page.evaluate((entries) => new Promise<void>((resolve, reject) => {
    const opening = indexedDB.open('review', 1);
    opening.onupgradeneeded = () => { opening.result.createObjectStore('entries', { keyPath: 'id' }); };
    opening.onerror = () => { reject(new Error('not opened')); };
    opening.onsuccess = () => {
      const work = opening.result.transaction('entries', 'readwrite');
      for (const entry of entries) work.objectStore('entries').put(entry);
      work.oncomplete = () => { opening.result.close(); resolve(); };
    };
  }), content.cases[0]?.entries ?? []);
  const databases = async () => (await page.evaluate(() => indexedDB.databases())).map(({ name }) => name);
  const offer = page.getByRole('region', { name: 'Cases of an earlier version' });
  await page.reload();
  await expect(page.locator('.nothing'), 'not without being asked for').toBeVisible();
  await offer.getByRole('button', { name: 'Bring them in' }).click();
  await expect(page.locator('.register li')).toHaveCount(1);
  expect(await databases()).toEqual(['review']);
  await page.getByRole('note').getByRole('link', { name: 'keep it on this machine' }).click();
  await keepHere(page);
  await expect(offer).toBeHidden();
  await expect.poll(databases).toEqual(['vault']);
  await visit(page, './review/');
  await expect(page.locator('.register li')).toHaveCount(1);
});
