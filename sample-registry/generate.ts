import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { dataPackage } from '../lib/contract/dataPackage';
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
  if (!parquet) writeFileSync(join(folder, 'datapackage.json'), `${JSON.stringify(dataPackage(), null, 2)}\n`); // it describes the tables as CSV
  // The sample that the app opens with is kept in the repository as one zip, and its truth beside it.
  if (isSample) writeFileSync(join(here, 'truth.json'), truthText);
  const zipTo = zip ?? (isSample ? join(here, 'extract.zip') : undefined);
  const extension = parquet ? 'parquet' : 'csv';
  if (zipTo !== undefined) {
    const described = parquet ? [] : ['datapackage.json'];
    const packed = [...described, ...tableNames.map((t) => `${t}.${extension}`)].map((file) => join(folder, file));
    zipFiles(packed, zipTo);
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
