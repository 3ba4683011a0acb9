import { parseArgs } from 'node:util';

/** The extract that is kept in the repository. */
export const sample = { procedures: 40_000, seed: 1 } as const;
const limits = { procedures: [1, 5_000_000], seed: [0, 2 ** 32 - 1] } as const;

export const usage = 'npm run sample -- [--procedures N] [--seed N] [--out FOLDER] [--parquet] [--zip FILE]';

export class UsageError extends Error {}

export interface Options {
  readonly procedures: number;
  readonly seed: number;
  readonly out: string | undefined; // folder; undefined: the extract folder beside the generator
  readonly parquet: boolean;
  readonly zip: string | undefined;
}

function wholeNumber(name: keyof typeof limits, text: string | undefined): number {
  if (text === undefined) return sample[name];
  const [least, most] = limits[name];
  const value = Number(text);
  if (!/^\d+$/.test(text) || value < least || value > most) throw new UsageError(`--${name} must be a whole number from ${least} to ${most}: ${text}`);
  return value;
}

/** Throws a `UsageError` on anything else than the documented options. */
export function readOptions(args: readonly string[]): Options {
  const values = parse(args);
  return {
    procedures: wholeNumber('procedures', values.procedures), seed: wholeNumber('seed', values.seed),
    out: values.out, parquet: values.parquet ?? false, zip: values.zip,
  };
}

function parse(args: readonly string[]) {
  const text = { type: 'string' } as const;
  try {
    return parseArgs({ args: [...args], options: { procedures: text, seed: text, out: text, parquet: { type: 'boolean' }, zip: text } }).values;
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
}
