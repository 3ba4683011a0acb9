import { request } from 'node:http';
import { createServer } from 'node:net';
import { mkdtempSync, mkdirSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { contentSecurityPolicy, inlineScriptHashes, securityHeaders } from '@/lib/site/policy';
import { serve } from '@/lib/site/serve';

describe('the policy of a page', () => {
  const html = `<script>alert('Hello, world.');</script><script src="/a.js"></script><script id="x">alert('Hello, world.');</script>`;

  it('allows the inline scripts that were built into it, by hash', () => {
    // the example in the Content Security Policy specification, W3C, section on hash-source
    expect(inlineScriptHashes(html)).toEqual([`'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='`]);
  });

  it('allows nothing else: no other origin, no inline code, no code made from text', () => {
    const policy = contentSecurityPolicy([]);
    expect(policy).toContain(`default-src 'none'`);
    expect(policy).toContain(`connect-src 'self'`);
    expect(policy).not.toMatch(/unsafe-inline|'unsafe-eval'|\*|https?:/);
  });
});

describe('the server', () => {
  const site = mkdtempSync(join(tmpdir(), 'site-'));
  const wasm = Buffer.from('\0asm'.repeat(100));
  let address = '', close = (): void => undefined;
  beforeAll(async () => {
    mkdirSync(join(site, 'data'));
    mkdirSync(join(site, 'static'));
    writeFileSync(join(site, 'static/a1.js'), 'self.name');
    writeFileSync(join(site, 'index.html'), '<p>home</p>');
    writeFileSync(join(site, 'data/index.html'), '<p>data</p>');
    writeFileSync(join(site, '404.html'), '<p>No such page. Go to <a href="/">Compare</a>.</p>');
    writeFileSync(join(site, 'worker.js'), 'self.name');
    writeFileSync(join(site, 'engine.wasm'), wasm);
    writeFileSync(join(site, 'engine.wasm.gz'), gzipSync(wasm));
    writeFileSync(join(site, 'headers.json'), JSON.stringify({ '*': securityHeaders([]), '/data/': securityHeaders([`'sha256-x'`]), '/404.html': securityHeaders([`'sha256-lost'`]), '/static/*': { ...securityHeaders([]), 'Cache-Control': 'immutable' } }));
    const served = await serve(site, 47_310);
    address = served.address;
    close = () => { served.server.close(); };
  });
  afterAll(() => { close(); });

  it('listens on the loopback address only', () => {
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:473\d\d\/$/);
  });

  it.each(['', 'data/', 'worker.js', 'engine.wasm', 'nothing-here'])('sends the policy and isolation with %j, workers and errors included', async (path) => {
    const { headers } = await fetch(`${address}${path}`);
    expect(headers.get('content-security-policy')).toContain(`default-src 'none'`);
    expect(headers.get('cross-origin-opener-policy')).toBe('same-origin');
    expect(headers.get('cross-origin-embedder-policy')).toBe('require-corp');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('referrer-policy')).toBe('no-referrer');
  });

  it('gives a page the hashes of its own scripts, whatever its query', async () => {
    expect((await fetch(`${address}data/?a=1`)).headers.get('content-security-policy')).toContain('sha256-x');
    expect((await fetch(address)).headers.get('content-security-policy')).not.toContain('sha256-x');
  });

  it('shows the page for lost addresses, with its own scripts, to one who mistyped', async () => {
    const lost = await fetch(`${address}comparr/?a=1`);
    expect([lost.status, lost.headers.get('content-type')]).toEqual([404, 'text/html; charset=utf-8']);
    expect(lost.headers.get('content-security-policy')).toContain('sha256-lost');
    expect(await lost.text()).toContain('No such page');
  });

  it('gives the files of a folder the headers of that folder, and no others', async () => {
    expect((await fetch(`${address}static/a1.js`)).headers.get('cache-control')).toBe('immutable');
    expect((await fetch(`${address}worker.js`)).headers.get('cache-control')).not.toBe('immutable');
  });

  it('sends WebAssembly compressed and by its right type', async () => {
    const response = await fetch(`${address}engine.wasm`, { headers: { 'accept-encoding': 'gzip' } });
    expect(response.headers.get('content-type')).toBe('application/wasm');
    expect(response.headers.get('content-encoding')).toBe('gzip');
    expect(Buffer.from(await response.arrayBuffer())).toEqual(wasm);
  });

  it.each(['../package.json', '%2e%2e/package.json', '..%2fpackage.json'])('does not reach outside the site by %s', async (path) => {
    expect((await fetch(`${address}${path}`)).status).toBe(404);
  });

  it('answers a request that names no path it can read, and stays up', async () => {
    const status = await new Promise((resolve, reject) => {
      request({ host: '127.0.0.1', port: new URL(address).port, path: '//' }, (response) => { resolve(response.statusCode); response.resume(); }).on('error', reject).end();
    });
    expect(status).toBeTypeOf('number');
    expect((await fetch(address)).status).toBe(200);
  });

  it('takes the next port when the wanted one is taken', async () => {
    const taken = createServer().listen(47_350, '127.0.0.1');
    await new Promise((resolve) => taken.once('listening', resolve));
    const served = await serve(site, 47_350);
    expect(served.address).toBe('http://127.0.0.1:47351/');
    served.server.close();
    taken.close();
  });
});
