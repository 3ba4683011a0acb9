import { tableNames } from '../../contract/fields';
import { isInside, PackageFile } from '../../contract/packageFile';
import type { Problem } from '../../contract/loadReport';
import { tables, type TableName } from '../../contract/tables';
import type { ExtractFile } from '../../intake/extractFile';
import { problem, Refusal, refuse, someOf } from '../../intake/refusal';
import { partOf, valuesInPath } from './tableParts';
import { isZip, openArchive } from '../../intake/unzip';

export interface TableFile {
  readonly table: TableName;
  readonly file: ExtractFile;
  readonly format: 'csv' | 'parquet';
  /** What the path says of all rows of the file. */
  readonly values: ReadonlyMap<string, string | null>;
}

export interface FoundTables {
  readonly tables: readonly TableFile[];
  readonly ignoredFiles: readonly string[];
  readonly notes: readonly string[];
}

/** A file that can be opened when it is wanted. */
interface Candidate {
  readonly path: string;
  open(): Promise<ExtractFile>;
}

const clutter = /(^|\/)(__MACOSX\/|\.|thumbs\.db$|desktop\.ini$)/i;
const baseName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);

/**
 * Which file holds which table: by `datapackage.json` where there is one, else by name (`procedures.csv`, `procedures.parquet`), in any
 * folder; or the table is a folder of Parquet files (`procedures/part-0.parquet`), which then come in the order of their paths. The files may be one zip. Throws a Refusal that names every table that is missing or stands twice.
 */
export async function findTables(files: readonly ExtractFile[], signal: AbortSignal): Promise<FoundTables> {
  const candidates = (await listed(files, signal)).filter(({ path }) => !clutter.test(path));
  const descriptions = candidates.filter(({ path }) => baseName(path) === 'datapackage.json');
  if (descriptions.length > 1) refuse('two_files', `there is more than one datapackage.json: ${someOf(descriptions.map(({ path }) => path))}`);
  const [description] = descriptions;
  const placed = description === undefined ? byName(candidates) : await byDescription(description, candidates);
  const missing = tableNames.filter((table) => tables[table].required && !placed.files.has(table));
  const problems = placed.problems.length > 0 ? placed.problems : missing.map((table) => problem('missing_table',
    `there is no file for the table ${table} (${tables[table].grain}); expected ${table}.csv or ${table}.parquet${
      candidates.length === 0 ? '' : `, found ${someOf(candidates.map(({ path }) => path))}`}`));
  if (problems.length > 0) throw new Refusal(problems);
  const found: TableFile[] = [];
  for (const [table, parts] of placed.files) {
    for (const part of parts) {
      const { path } = part, values = partOf(path) === table ? valuesInPath(table, path) : new Map<string, null>();
      found.push({ table, file: await part.open(), format: /\.parquet$/i.test(path) ? 'parquet' : 'csv', values });
    }
  }
  const used = new Set([...placed.files.values()].flat().concat(description ?? []));
  return { tables: found, ignoredFiles: candidates.filter((candidate) => !used.has(candidate)).map(({ path }) => path), notes: placed.notes };
}

async function listed(files: readonly ExtractFile[], signal: AbortSignal): Promise<Candidate[]> {
  const zip = files.find(isZip);
  if (zip === undefined) return files.map((file) => ({ path: file.name, open: () => Promise.resolve(file) }));
  if (files.length > 1) refuse('two_files', 'a zip stands beside other files; choose either the zip or the files', { file: zip.name });
  const archive = await openArchive(zip);
  return archive.names.map((path) => ({ path: path.replaceAll('\\', '/'), open: () => archive.open(path, signal) }));
}

interface Placed {
  readonly files: ReadonlyMap<TableName, readonly Candidate[]>; // several: parts
  readonly problems: readonly Problem[];
  readonly notes: readonly string[];
}

function byName(candidates: readonly Candidate[]): Placed {
  const files = new Map<TableName, readonly Candidate[]>(), problems: Problem[] = [];
  for (const table of tableNames) {
    const named = candidates.filter(({ path }) => new RegExp(`^${table}\\.(csv|parquet)$`, 'i').test(baseName(path)));
    const parts = partsOf(table, candidates), [first] = named;
    if (first !== undefined) files.set(table, [first]);
    else if (parts.length > 0) files.set(table, parts);
    if (named.length + Math.min(parts.length, 1) > 1) problems.push(problem('two_files', `more than one file holds the table ${table}: ${someOf([...named, ...parts].map(({ path }) => path))}`));
  }
  return { files, problems, notes: [] };
}

const partsOf = (table: TableName, candidates: readonly Candidate[]): readonly Candidate[] =>
  candidates.filter(({ path }) => partOf(path) === table).sort((a, b) => (a.path < b.path ? -1 : 1));

async function byDescription(description: Candidate, candidates: readonly Candidate[]): Promise<Placed> {
  const { resources } = await parse(description);
  const folder = description.path.slice(0, description.path.length - 'datapackage.json'.length);
  const files = new Map<TableName, readonly Candidate[]>(), problems: Problem[] = [], notes: string[] = [];
  const file = description.path;
  for (const { name, path } of resources) {
    const table = tableNames.find((t) => t === name);
    if (table === undefined) {
      notes.push(`The resource ${name} of datapackage.json is no table of the data package and was not read.`);
    } else if (files.has(table)) {
      problems.push(problem('two_files', `two resources are named ${name}`, { file }));
    } else if (!isInside(path)) {
      problems.push(problem('outside_path', 'the path leads out of the package', { file, value: path }));
    } else {
      const candidate = candidates.find((c) => c.path === folder + path.replace(/^\.\//, '')) ?? onlyNamed(baseName(path), candidates), parts = partsOf(table, candidates);
      if (candidate !== undefined) files.set(table, [candidate]);
      else if (parts.length > 0) files.set(table, parts);
      else if (tables[table].required) problems.push(problem('missing_table', `the file of the resource ${name} is not there`, { file, value: path }));
      else notes.push(`datapackage.json names ${path} for the table ${table}, which is not there; it was taken as empty.`);
    }
  }
  return { files, problems, notes };
}

/** Files chosen one by one come without their folders. */
function onlyNamed(name: string, candidates: readonly Candidate[]): Candidate | undefined {
  const named = candidates.filter(({ path }) => baseName(path) === name);
  return named.length === 1 ? named[0] : undefined;
}

async function parse(description: Candidate): Promise<PackageFile> {
  const file = description.path;
  let json: unknown;
  try {
    json = JSON.parse(await (await description.open()).content.text());
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    return refuse('not_json', 'this is no JSON', { file }); // the engine's own words quote the text
  }
  const parsed = PackageFile.safeParse(json);
  if (parsed.success) return parsed.data;
  throw new Refusal(parsed.error.issues.map(({ path, message }) => problem('package_description', message, { file, field: path.join('.') })));
}
