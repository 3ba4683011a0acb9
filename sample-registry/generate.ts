import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { tableNames } from '../lib/contract/fields';
import { csvFiles } from './csvFiles';
import { readOptions, sample, usage, UsageError } from './options';
import { parquetFiles } from './parquetFiles';
import { simulate } from './simulate';
import { zipFiles } from './zipFile';

const here = dirname(fileURLToPath(import.meta.url));
function generate(): void {
  const { procedures, seed, out, parquet, zip } = readOptions(process.argv.slice(2));
  const isSample = procedures === sample.procedures && seed === sample.seed && out === undefined && !parquet;
  const folder = resolve(out ?? join(here, 'extract'));
  mkdirSync(folder, { recursive: true });

  const files = parquet ? parquetFiles(folder) : csvFiles(folder);
  const truth = simulate({ procedures, seed }, files);
  files.close();
  const truthText = `${JSON.stringify(truth, null, 1)}\n`;
  writeFileSync(join(folder, 'truth.json'), truthText);
  // The sample that the app opens with is kept in the repository as one zip, and its truth beside it.
  if (isSample) writeFileSync(join(here, 'truth.json'), truthText);
  const zipTo = zip ?? (isSample ? join(here, 'extract.zip') : undefined);
  const extension = parquet ? 'parquet' : 'csv';
  if (zipTo !== undefined) {
    const packed = [join(folder, 'datapackage.json'), ...tableNames.map((t) => join(folder, `${t}.${extension}`))];
    zipFiles(packed.filter((file) => existsSync(file)), zipTo);
  }
  process.stderr.write(`${truth.counts.procedures} procedures of seed ${seed} in ${folder}${zipTo === undefined ? '' : `, zipped in ${zipTo}`}\n`);
}

try {
  generate();
} catch (error) {
  if (!(error instanceof UsageError)) throw error;
  process.stderr.write(`${error.message}\n${usage}\n`);
  process.exitCode = 2;
}
