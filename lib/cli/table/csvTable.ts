import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { CsvError, parse } from 'csv-parse/sync';
import { InputError, shown } from '../inputError';

/** A CSV file as text: a header and rows of as many cells, surrounding blanks removed. */
export interface CsvTable {
  readonly name: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Line of the file that each row ends on, from 1. */
  readonly lines: readonly number[];
}

interface Parsed { readonly record: string[]; readonly info: { readonly lines: number } }

export async function readCsvTable(path: string): Promise<CsvTable> {
  const name = basename(path);
  return parseCsvTable(name, decode(name, await read(path)));
}

export function parseCsvTable(name: string, text: string): CsvTable {
  const [header, ...body] = records(name, text);
  if (header === undefined) throw new InputError(`${name}: the file is empty; a header and one row per patient are needed`);
  const columns = header.record;
  const repeated = columns.find((column, i) => columns.indexOf(column) !== i);
  if (repeated !== undefined) throw new InputError(`${name}: the header has column ${shown(repeated)} twice`);
  if (body.length === 0) throw new InputError(`${name}: the file has a header and no rows`);
  return { name, columns, rows: body.map((row) => row.record), lines: body.map((row) => row.info.lines) };
}

async function read(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? cause.code : undefined;
    const problem = code === 'ENOENT' ? 'no such file' : code === 'EISDIR' ? 'is a folder, not a file' : 'cannot be read';
    throw new InputError(`${path}: ${problem}`, { cause });
  }
}

function decode(name: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (cause) {
    throw new InputError(`${name}: not UTF-8 text of a size that can be read; save it as CSV in UTF-8`, { cause });
  }
}

function records(name: string, text: string): readonly Parsed[] {
  try {
    return parse(text, { bom: true, info: true, trim: true, skipEmptyLines: true }) as unknown as Parsed[];
  } catch (cause) {
    if (cause instanceof CsvError) throw new InputError(`${name}: ${cause.message}`, { cause });
    throw cause;
  }
}
