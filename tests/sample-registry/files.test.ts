import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { strFromU8, unzipSync } from 'fflate';
import { parquetMetadata, parquetReadObjects } from 'hyparquet';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fieldsOf, tableNames } from '@/lib/contract/fields';
import { csvFiles } from '@/sample-registry/csvFiles';
import { readOptions, usage, UsageError } from '@/sample-registry/options';
import { parquetFiles } from '@/sample-registry/parquetFiles';
import { simulate } from '@/sample-registry/simulate';
import { zipFiles } from '@/sample-registry/zipFile';
import { generated } from './generated';

let folder: string;
beforeAll(() => { folder = mkdtempSync(join(tmpdir(), 'sample-registry-')); });
afterAll(() => { rmSync(folder, { recursive: true }); });

const options = { procedures: 600, seed: 5 };
const { rows } = generated(options.procedures, options.seed);

describe('files of the extract', () => {
  it('are CSV with the columns of the contract, one line a row, empty where nothing is recorded', () => {
    const files = csvFiles(folder);
    simulate(options, files);
    files.close();
    for (const table of tableNames) {
      const columns = fieldsOf(table).map((f) => f.name);
      const [header, ...lines] = readFileSync(join(folder, `${table}.csv`), 'utf8').trimEnd().split('\n');
      expect(header).toBe(columns.join(','));
      expect(lines.map((line) => line.split(','))).toEqual(rows[table].map((row) => columns.map((c) => String(row[c] ?? ''))));
    }
  });

  it('are packed into the same zip each time', () => {
    const csv = tableNames.map((table) => join(folder, `${table}.csv`));
    zipFiles(csv, join(folder, 'one.zip'));
    zipFiles(csv, join(folder, 'two.zip'));
    const one = readFileSync(join(folder, 'one.zip'));
    expect(one.equals(readFileSync(join(folder, 'two.zip')))).toBe(true);
    const unzipped = unzipSync(one);
    expect(Object.keys(unzipped)).toEqual(tableNames.map((table) => `${table}.csv`));
    for (const table of tableNames) expect(strFromU8(unzipped[`${table}.csv`]!)).toBe(readFileSync(join(folder, `${table}.csv`), 'utf8'));
  });

  it('are Parquet in several row groups with dates as dates, and hold the same rows', async () => {
    const files = parquetFiles(folder, 250);
    simulate(options, files);
    files.close();
    for (const table of tableNames) {
      const bytes = readFileSync(join(folder, `${table}.parquet`));
      const file = bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength);
      expect(parquetMetadata(file).row_groups).toHaveLength(Math.ceil(rows[table].length / 250));
      const read = await parquetReadObjects({ file });
      const dates = fieldsOf(table).filter((f) => f.kind === 'date').map((f) => f.name);
      expect(read.map((row) => ({
        ...row, ...Object.fromEntries(dates.map((name) => [name, row[name] instanceof Date ? row[name].toISOString().slice(0, 10) : null])),
      }))).toEqual(rows[table]);
    }
  });
});

describe('npm run sample', () => {
  const run = (...args: string[]) => spawnSync(process.execPath, ['--import', 'tsx', 'sample-registry/generate.ts', ...args], { encoding: 'utf8' });

  it('writes the folder and the zip that were asked for', () => {
    const out = join(folder, 'out');
    const { status, stderr } = run('--procedures', '600', '--seed', '5', '--out', out, '--zip', join(folder, 'asked.zip'));
    expect([status, stderr]).toEqual([0, expect.stringContaining('600 procedures of seed 5')]);
    expect(readFileSync(join(out, 'procedures.csv')).equals(readFileSync(join(folder, 'procedures.csv')))).toBe(true);
    expect(JSON.parse(readFileSync(join(out, 'truth.json'), 'utf8'))).toMatchObject(options);
    expect(Object.keys(unzipSync(readFileSync(join(folder, 'asked.zip'))))).toEqual(expect.arrayContaining(tableNames.map((table) => `${table}.csv`)));
  });

  it('refuses a wrong option with status 2, and says why', () => {
    const { status, stderr } = run('--procedures', '0');
    expect([status, stderr]).toEqual([2, `--procedures must be a whole number from 1 to 5000000: 0\n${usage}\n`]);
  });

  it.each([
    { args: ['--procedures', '5000001'], message: '--procedures must be a whole number from 1 to 5000000: 5000001' },
    { args: ['--procedures', ''], message: '--procedures must be a whole number from 1 to 5000000: ' },
    { args: ['--seed', '1.5'], message: '--seed must be a whole number from 0 to 4294967295: 1.5' },
    { args: ['--seed', '4294967296'], message: '--seed must be a whole number from 0 to 4294967295: 4294967296' },
    { args: ['--patients', '5'], message: '--patients' },
    { args: ['folder'], message: 'folder' },
  ])('does not take $args', ({ args, message }) => {
    expect(() => readOptions(args)).toThrow(UsageError);
    expect(() => readOptions(args)).toThrow(message);
  });

  it('takes the committed extract where nothing is said', () => {
    expect(readOptions([])).toEqual({ procedures: 40_000, seed: 1, out: undefined, parquet: false, zip: undefined });
  });
});
