import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { test as plain, type Page, type Request } from '@playwright/test';
import { identifiers, identifiersIn, ownFiles } from './ownExtract';
import { stored } from './stored';
import { keepHere, unlock } from './vault';
import { answered, expect, test } from './workbench';

const header = (page: Page) => page.getByRole('navigation', { name: 'Pages', exact: true });
const go = (page: Page, name: string) => header(page).getByRole('link', { name, exact: true }).click();

test('a whole journey with one’s own extract sends nothing, stores nothing unasked, and names nobody where others could read it', async ({ page, context }) => {
  test.setTimeout(540_000);
  const requests: Request[] = [], said: string[] = [], downloads: string[] = [], places = new Set<string>();
  context.on('request', (request) => { requests.push(request); });
  context.on('console', (message) => { said.push(message.text()); });
  page.on('download', (download) => { downloads.push(download.suggestedFilename()); });
  page.on('framenavigated', (frame) => { places.add(frame.url()); });
  const look = async () => { places.add(await page.evaluate(() => [location.href, document.title, JSON.stringify(history.state), window.name].join('\n'))); };
  const download = async (button: string | RegExp) => {
    const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: button }).first().click()]);
    await file.path();
  };
  expect(identifiers.size).toBeGreaterThan(80_000);
  expect(identifiersIn('?hospital=H044&x=P000001')).toEqual(['H044', 'P000001']);

  await page.goto('./data/');
  await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 90_000 });
  await page.locator('input[type="file"]').first().setInputFiles([...ownFiles()]);
  await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 90_000 });
  await look();
  await page.getByRole('button', { name: /Download every record/ }).click();
  await download('Download it');
  await go(page, 'Compare');
  await answered(page);
  await look();
  await download(/^Download as CSV/);
  await download(/^Download as SVG/);
  await go(page, 'Our unit');
  await answered(page);
  await page.getByRole('combobox', { name: 'Hospital' }).fill('H044');
  await page.getByRole('option', { name: 'H044' }).click();
  await expect(page.locator('.answer[data-pending="false"][data-about="one"]')).toBeVisible({ timeout: 90_000 });
  await look();
  await download(/^Download as CSV/);
  await go(page, 'Screening');
  await answered(page);
  await look();
  await go(page, 'Over time');
  await expect(page.locator('.answer[data-pending="false"]')).toBeVisible({ timeout: 90_000 });
  await look();
  await page.getByRole('button', { name: 'Raise a question about this' }).first().click();
  await page.getByRole('dialog').getByLabel('Your role').fill('statistician');
  await page.getByRole('dialog').getByRole('button', { name: 'Raise the question' }).click();
  await page.getByRole('dialog').getByRole('link', { name: 'Go to the question' }).click();
  await expect(page.locator('.case-facts')).toBeVisible();
  await look();
  await page.getByRole('button', { name: 'Export this case' }).click();
  const [file] = await Promise.all([page.waitForEvent('download'), page.getByRole('alertdialog').getByRole('button', { name: 'Export the file' }).click()]);
  await file.path();
  expect(await stored(page), 'nothing is stored before the person says so').toEqual([]);

  await go(page, 'Data');
  await keepHere(page);
  await look();
  expect(await stored(page)).toEqual(['database vault']);
  await page.goto('./review/');
  await expect(page.locator('.nothing'), 'locked').toBeVisible();
  await unlock(page);
  await expect(page.locator('.register li')).toHaveCount(1);
  await look();
  await go(page, 'Data');
  await expect(page.locator('[data-loaded="own"]')).toBeVisible({ timeout: 90_000 });
  await expect(page.locator('#keep')).toContainText('The extract that is loaded is the one that is kept');
  await page.locator('#keep').getByRole('button', { name: 'Remove everything' }).click();
  await page.getByRole('alertdialog').getByRole('button', { name: 'Remove everything' }).click();
  await expect(page.locator('[data-kept="none"]')).toBeVisible();
  expect(await stored(page), 'nothing is left').toEqual([]);
  await go(page, 'Review');
  await expect(page.locator('.nothing')).toBeVisible();

  const own = new URL(page.url()).origin;
  expect(requests.length).toBeGreaterThan(20);
  expect(requests.filter((request) => !/^(blob|data):/.test(request.url()) && new URL(request.url()).origin !== own).map((request) => request.url())).toEqual([]);
  expect(requests.filter((request) => request.method() !== 'GET' || request.postData() !== null).map((request) => `${request.method()} ${request.url()}`)).toEqual([]);
  expect(requests.flatMap((request) => identifiersIn(decodeURIComponent(request.url())))).toEqual([]);
  for (const place of places) expect(identifiersIn(decodeURIComponent(place)), place).toEqual([]);
  expect(said.flatMap(identifiersIn)).toEqual([]);
  expect(downloads.length).toBeGreaterThan(4);
  expect(downloads.flatMap(identifiersIn)).toEqual([]);
});

// The other origin answers everybody, so that only the policy can be what stops a request to it.
plain.describe('the content-security policy is enforced', () => {
  let server: Server, elsewhere = '', asked = 0;
  plain.beforeAll(async () => {
    server = createServer((_request, response) => {
      ++asked;
      response.setHeader('Access-Control-Allow-Origin', '*');
      response.setHeader('Cross-Origin-Resource-Policy', 'cross-origin');
      response.end('a,b\n1,2\n');
    });
    await new Promise<void>((resolve) => { server.listen(0, '127.0.0.1', resolve); });
    elsewhere = `http://127.0.0.1:${(server.address() as AddressInfo).port}/table.csv`;
    await (await fetch(elsewhere)).text();
    expect(asked, 'it can be reached at all').toBe(1);
    asked = 0;
  });
  plain.afterEach(() => { expect(asked, 'nothing has reached the other origin').toBe(0); });
  plain.afterAll(() => { server.close(); });

  plain('in the page', async ({ page }) => {
    await page.goto('./dictionary/');
    const found = await page.evaluate(async (address) => {
      const refused: string[] = [];
      document.addEventListener('securitypolicyviolation', ({ effectiveDirective }) => { refused.push(effectiveDirective); });
      const outcome = { fetched: await fetch(address).then(() => 'fetched', () => 'refused'), beacon: '', evaluated: 'refused', refused };
      outcome.beacon = String(navigator.sendBeacon(address, 'x'));
      await new Promise((resolve) => { setTimeout(resolve); }); // the debugger may evaluate, and so does what it calls at once
      try { outcome.evaluated = String((0, eval)('1 + 1')); } catch { /* refused */ }
      const script = document.createElement('script');
      script.textContent = 'window.ran = true';
      const image = new Image(), form = document.createElement('form'), frame = document.createElement('iframe');
      image.src = address;
      frame.src = address;
      form.action = address;
      document.body.append(script, image, form, frame);
      form.submit();
      try { new WebSocket(address.replace('http', 'ws')); } catch { /* refused */ }
      await new Promise((resolve) => { setTimeout(resolve, 1000); });
      return { ...outcome, ran: 'ran' in window };
    }, elsewhere);
    expect(found).toMatchObject({ fetched: 'refused', evaluated: 'refused', ran: false });
    for (const directive of ['connect-src', 'script-src-elem', 'img-src', 'form-action', 'frame-src', 'script-src']) expect(found.refused).toContain(directive);
  });

  plain('in the worker', async ({ page }) => {
    await page.goto('./data/');
    await expect(page.locator('[data-loaded="sample"]')).toBeVisible({ timeout: 90_000 });
    expect(page.workers().length).toBeGreaterThan(0);
    for (const worker of page.workers()) {
      expect(await worker.evaluate(async (address) => ({
        fetched: await fetch(address).then(() => 'fetched', () => 'refused'),
        read: (() => { const request = new XMLHttpRequest(); request.open('GET', address, false); try { request.send(); return 'read'; } catch { return 'refused'; } })(),
        evaluated: await new Promise((resolve) => { setTimeout(() => { try { resolve(String((0, eval)('1 + 1'))); } catch { resolve('refused'); } }); }),
      }), elsewhere), worker.url()).toEqual({ fetched: 'refused', read: 'refused', evaluated: 'refused' });
    }
  });

  plain('for SQL that would read from elsewhere, in a database that nothing has sealed', async ({ page }) => {
    await page.goto('./dictionary/');
    const answers = await page.evaluate(async (address) => {
      const thread = new Worker('/duckdb/duckdb-browser-eh.worker.js');
      let number = 0;
      const ask = (type: string, data: unknown): Promise<{ readonly type: string; readonly data: unknown }> => new Promise((resolve) => {
        const messageId = ++number;
        thread.addEventListener('message', ({ data: answer }: MessageEvent<{ requestId: number; type: string; data: unknown }>) => { if (answer.requestId === messageId && answer.type !== 'INSTANTIATE_PROGRESS') resolve(answer); });
        thread.postMessage({ messageId, type, data });
      });
      await ask('INSTANTIATE', ['/duckdb/duckdb-eh.wasm', null]);
      await ask('OPEN', { path: ':memory:' });
      const connection = (await ask('CONNECT', null)).data;
      const run = async (sql: string) => { const { type, data } = await ask('RUN_QUERY', [connection, sql]); return `${type} ${type === 'ERROR' ? JSON.stringify(data) : ''}`; };
      return { plain: await run('SELECT 1'), elsewhere: await run(`SELECT * FROM read_csv('${address}', auto_detect=false, columns={'a': 'VARCHAR', 'b': 'VARCHAR'})`) };
    }, elsewhere);
    expect(answers.plain).not.toMatch(/^ERROR/);
    expect(answers.elsewhere).toMatch(/^ERROR/);
  });
});
