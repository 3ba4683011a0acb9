import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { dataPackage } from './dataPackage';
import { mappingSchema } from './mappingSchema';

/** `npm run dictionary` writes what is made from the contract; with `--check` it fails where a file is stale. */
const made = [
  { name: 'sample-registry/datapackage.json', content: dataPackage() },
  { name: 'public/mapping.schema.json', content: mappingSchema() },
];

for (const { name, content } of made) {
  const path = fileURLToPath(new URL(`../../${name}`, import.meta.url)), text = `${JSON.stringify(content, null, 2)}\n`;
  if (!process.argv.includes('--check')) {
    writeFileSync(path, text);
  } else if (readFileSync(path, 'utf8') !== text) {
    console.error(`${name} is stale: the contract has changed. Run \`npm run dictionary\`.`);
    process.exitCode = 1;
  }
}
