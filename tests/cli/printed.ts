import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { requestOf } from '@/lib/cli/arguments';
import { toJson } from '@/lib/cli/json';
import { estimates } from '@/lib/cli/tableForm';

/** What the command prints for a CSV file with these options, parsed. */
export async function printed(csv: string, options: Readonly<Record<string, string | number>>): Promise<Record<string, unknown>> {
  const folder = await mkdtemp(join(tmpdir(), 'study-')), path = join(folder, 'study.csv');
  try {
    await writeFile(path, csv);
    const request = requestOf(['--table', path, ...Object.entries(options).map(([name, value]) => `--${name}=${value}`)]);
    if (request.form !== 'table') throw new Error('the options ask for a table');
    return JSON.parse(toJson(await estimates(request.options))) as Record<string, unknown>;
  } finally {
    await rm(folder, { recursive: true });
  }
}

export type Columns = Readonly<Record<string, readonly (number | string | null)[]>>;

export const csvOf = (input: Columns): string => [Object.keys(input).join(','), ...rowsOf(input).map((row) => Object.values(row).map((cell) => cell ?? '').join(','))].join('\n');

export const rowsOf = (columns: Columns): readonly Readonly<Record<string, number | string | null | undefined>>[] =>
  Object.values(columns)[0]!.map((_, row) => Object.fromEntries(Object.entries(columns).map(([name, column]) => [name, column[row]])));
