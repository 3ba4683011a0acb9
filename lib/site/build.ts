import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { openNodeDatabase } from '../engine/node';
import { readExtractFiles } from '../engine/nodeFiles';
import { saveExtract } from '../engine/savedExtract';
import { openingReport } from './openingReport';
import { root, site } from './paths';
import { inlineScriptHashes, securityHeaders } from './policy';

const compress = (path: string): void => { writeFileSync(`${path}.gz`, gzipSync(readFileSync(path), { level: 6 })); };

/** The database engine for browsers: worker and WebAssembly, also compressed. */
function copyEngine() {
  const from = dirname(createRequire(import.meta.url).resolve('@duckdb/duckdb-wasm/dist/duckdb-eh.wasm'));
  const to = join(root, 'public/duckdb');
  mkdirSync(to, { recursive: true });
  for (const file of ['duckdb-browser-eh.worker.js', 'duckdb-eh.wasm']) {
    copyFileSync(join(from, file), join(to, file));
    compress(join(to, file));
  }
}

/** The sample registry as it stands after loading: it opens in a tenth of the time that its files need. With it how the answer to the opening question begins. */
async function saveSample(): Promise<void> {
  const to = join(root, 'public/sample'), file = join(to, 'extract.duckdb');
  rmSync(to, { recursive: true, force: true });
  mkdirSync(to, { recursive: true });
  const saved = await saveExtract(openNodeDatabase, await readExtractFiles(join(root, 'sample-registry/extract.zip')), file, async (extract) => {
    writeFileSync(join(to, 'opening.json'), JSON.stringify(await openingReport(extract)));
  });
  compress(file);
  writeFileSync(join(to, 'extract.json'), JSON.stringify(saved));
}

function buildPages() {
  const next = fileURLToPath(import.meta.resolve('next/dist/bin/next'));
  const { status } = spawnSync(process.execPath, [next, 'build'], {
    cwd: root, stdio: ['ignore', 2, 'inherit'], env: { ...process.env, NEXT_TELEMETRY_DISABLED: '1', NODE_ENV: 'production' },
  });
  if (status !== 0) throw new Error(`next build failed with exit status ${String(status)}`);
}

/**
 * `headers.json`: the headers that whoever serves the site must send, by the address of each page; that of a folder with `*` for what is in it, `*` for everything else.
 * The name of a file in `_next/static` holds a hash of what is in it, so that it need never be asked for again; of anything else a browser asks whether it has changed.
 */
function writeHeaders() {
  const asked = { 'Cache-Control': 'no-cache' }, kept = { 'Cache-Control': 'public, max-age=31536000, immutable' };
  const pages = readdirSync(site, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.html')).sort();
  const headers = pages.map((file) => {
    const address = `/${basename(file) === 'index.html' ? file.slice(0, -'index.html'.length) : file}`;
    return [address, { ...securityHeaders(inlineScriptHashes(readFileSync(join(site, file), 'utf8'))), ...asked }] as const;
  });
  writeFileSync(join(site, 'headers.json'), `${JSON.stringify({ '*': { ...securityHeaders([]), ...asked }, '/_next/static/*': { ...securityHeaders([]), ...kept }, ...Object.fromEntries(headers) }, null, 2)}\n`);
}

/** Builds the whole site into `out/`. */
export async function build(): Promise<void> {
  copyEngine();
  await saveSample();
  buildPages();
  writeHeaders();
}

if (process.argv[1] === fileURLToPath(import.meta.url)) await build();
