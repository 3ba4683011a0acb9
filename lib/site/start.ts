import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { build } from './build';
import { root, site } from './paths';
import { serve } from './serve';

const sources = ['app', 'lib', 'public', 'sample-registry/extract.zip', 'next.config.js', 'package-lock.json', 'tsconfig.json'];
const generated = /^public\/(duckdb|sample)(\/|$)/;

const modified = (path: string): number => statSync(join(root, path), { throwIfNoEntry: false })?.mtimeMs ?? 0;

const filesUnder = (path: string): readonly string[] =>
  statSync(join(root, path), { throwIfNoEntry: false })?.isDirectory() === true
    ? readdirSync(join(root, path), { recursive: true, encoding: 'utf8' }).map((file) => `${path}/${file}`)
    : [path];

const newestSource = Math.max(...sources.flatMap(filesUnder).filter((file) => !generated.test(file)).map(modified));
if (modified('out/headers.json') < newestSource) {
  console.log('Building the site; this takes a minute.');
  await build();
}
const { address } = await serve(site, Number(process.env['PORT'] ?? 4173));
console.log(`The workbench is at ${address}  (Ctrl+C stops it)`);
