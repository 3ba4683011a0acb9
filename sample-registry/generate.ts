import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { tableNames } from '../lib/contract/fields';
import { csvFiles } from './csvFiles';
import { parquetFiles } from './parquetFiles';
import { simulate } from './simulate';
import { zipFiles } from './zipFile';

const here = dirname(fileURLToPath(import.meta.url));
const sample = { procedures: 40_000, seed: 1 };
const usage = 'npm run sample -- [--procedures N] [--seed N] [--out FOLDER] [--parquet] [--zip FILE]';

class UsageError extends Error {}

function wholeNumber(name: string, text: string, least: number, most: number): number {
  const value = Number(text);
  if (!/^\d+$/.test(text) || value < least || value > most) {
    throw new UsageError(`--${name} must be a whole number from ${least} to ${most}: ${text}`);
  }
  return value;
}

function readOptions() {
  try {
    const { values } = parseArgs({
      options: {
        procedures: { type: 'string', default: String(sample.procedures) }, seed: { type: 'string', default: String(sample.seed) },
        out: { type: 'string' }, parquet: { type: 'boolean', default: false }, zip: { type: 'string' },
      },
    });
    return {
      procedures: wholeNumber('procedures', values.procedures, 1, 5_000_000),
      seed: wholeNumber('seed', values.seed, 0, 2 ** 32 - 1),
      out: values.out, parquet: values.parquet, zip: values.zip,
    };
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}

function generate(): void {
  const { procedures, seed, out, parquet, zip } = readOptions();
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
