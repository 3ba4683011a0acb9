import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'csv-parse/sync';
import { unzipSync } from 'fflate';

const folder = 'tests/.output/own-extract';
const files = Object.entries(unzipSync(readFileSync('sample-registry/extract.zip'))).filter(([name]) => name.endsWith('.csv'));

/** The sample's tables as files of one's own, not packed. */
export function ownFiles(): readonly string[] {
  mkdirSync(folder, { recursive: true });
  return files.map(([name, content]) => {
    const path = join(folder, name.slice(name.lastIndexOf('/') + 1));
    writeFileSync(path, content);
    return path;
  });
}

const identifying = ['procedure_id', 'patient_id', 'revision_id', 'hospital_id', 'surgeon_id'];

/** Every identifier of a procedure, patient, revision, hospital or surgeon in it. */
export const identifiers: ReadonlySet<string> = new Set(files.flatMap(([, content]) =>
  parse<Record<string, string>>(Buffer.from(content), { columns: true }).flatMap((row) => identifying.map((field) => row[field] ?? '').filter((id) => id !== ''))));

/** Those that a text holds. */
export const identifiersIn = (text: string): readonly string[] => [...new Set(text.match(/(?<![\dA-Za-z])[A-Z]\d{3,7}(?![\dA-Za-z])/g) ?? [])].filter((token) => identifiers.has(token));
