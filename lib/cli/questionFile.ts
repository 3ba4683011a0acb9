import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { z } from 'zod';
import { formIssues } from '../contract/issues';
import { InputError, shown } from './inputError';

export async function existingText(path: string): Promise<string> {
  if (!existsSync(path)) throw new InputError(`${path}: no such file`);
  return readFile(path, 'utf8');
}

/** What a file of this name and text asks, by the schema of its question. */
export function parsed<T extends z.ZodType>(schema: T, name: string, text: string): z.infer<T> {
  let asked: unknown;
  try {
    asked = JSON.parse(text);
  } catch (cause) {
    throw new InputError(`${name}: not JSON: ${cause instanceof Error ? cause.message : String(cause)}`, { cause });
  }
  const result = schema.safeParse(asked);
  if (result.success) return result.data;
  const { path, message } = formIssues(result.error)[0]!;
  const field = path.map(String).join('.');
  throw new InputError(`${name}: ${field === '' ? '' : `${field}: `}${message}: ${shown(valueAt(asked, path))}`);
}

const valueAt = (value: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((at, key) => (typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined), value);
