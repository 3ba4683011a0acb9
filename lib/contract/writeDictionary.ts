import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { dataPackage } from './dataPackage';

/** `npm run dictionary` writes sample-registry/datapackage.json from the contract; with `--check` it fails where the file is stale. */
const path = fileURLToPath(new URL('../../sample-registry/datapackage.json', import.meta.url));
const text = `${JSON.stringify(dataPackage(), null, 2)}\n`;

if (!process.argv.includes('--check')) {
  writeFileSync(path, text);
} else if (readFileSync(path, 'utf8') !== text) {
  console.error('sample-registry/datapackage.json is stale: the contract has changed. Run `npm run dictionary`.');
  process.exitCode = 1;
}
