import { canonicalJson } from '../contract/canonical';
import type { LoadReport, Problem } from '../contract/loadReport';
import type { TableName } from '../contract/tables';
import type { Mapping } from '../contract/mapping';
import { QueryError, type OpenDatabase } from './database';
import type { ExtractFile } from '../intake/extractFile';
import { findTables } from './load/findTables';
import { fingerprint } from './load/fingerprint';
import { loadTables, type Step } from './load/loadTables';
import { holdAgainst, memoryNeeded, recordsIn, whatHelps, type MemoryLimits } from './load/memoryForecast';
import { openMapped, type Opened } from './load/openMapped';
import { timeLeft } from './load/timeLeft';
import { openTables } from './load/openTables';
import { problem, Refusal } from '../intake/refusal';
import type { LoadedExtract } from './loadedExtract';
import type { LoadProgress } from './loadProgress';

export type { LoadProgress };

export interface LoadOptions {
  readonly onProgress?: (progress: LoadProgress) => void;
  readonly signal?: AbortSignal;
  /** For files that are not in the form of the data package. */
  readonly mapping?: Mapping | undefined;
  /** Where they are known, an extract that will probably need more is refused before anything of it is read, unless `tryAnyway`. */
  readonly memory?: MemoryLimits;
  readonly tryAnyway?: boolean;
}

export type LoadResult =
  | { readonly status: 'loaded'; readonly extract: LoadedExtract; readonly report: LoadReport; readonly memoryNeeded: number }
  | { readonly status: 'refused'; readonly problems: readonly Problem[] };

/**
 * Loads an extract into a database of its own, so that one loaded before stays as it is until the caller lets go of it. The files are
 * looked at before the database is opened. Throws the signal's reason when aborted; the new database is closed then, and where anything fails.
 */
export async function loadExtract(open: OpenDatabase, files: readonly ExtractFile[], options: LoadOptions = {}): Promise<LoadResult> {
  const ended = new AbortController(); // ends what still reads files when the load ends in any way
  const signal = AbortSignal.any([ended.signal, ...(options.signal === undefined ? [] : [options.signal])]);
  try {
    return await load(open, files, signal, options);
  } catch (error) {
    options.signal?.throwIfAborted();
    if (error instanceof Refusal) return { status: 'refused', problems: error.problems };
    if (error instanceof QueryError && /out of memory/i.test(error.message)) {
      return { status: 'refused', problems: [problem('out_of_memory', `the extract does not fit into the memory that the engine may use. ${whatHelps}`)] };
    }
    if (error instanceof DOMException && error.name === 'NotReadableError') {
      return { status: 'refused', problems: [problem('file_changed', 'a file can’t be read any more: it was changed, moved or deleted since it was chosen. Choose the files again')] };
    }
    throw error;
  } finally {
    ended.abort();
  }
}

async function load(open: OpenDatabase, files: readonly ExtractFile[], signal: AbortSignal, { onProgress, mapping, memory, tryAnyway = false }: LoadOptions): Promise<LoadResult> {
  const left = timeLeft();
  const step: Step = (label, fraction, rows) => {
    signal.throwIfAborted();
    const secondsLeft = left(fraction);
    onProgress?.({ label, fraction, ...(rows !== undefined && { rows }), ...(secondsLeft !== undefined && { secondsLeft }) });
  };
  step('Looking at the files', 0);
  const opened = mapping === undefined ? await openContract(files, signal) : await openMapped(files, mapping, signal);
  const needed = memoryNeeded(opened.records);
  if (memory !== undefined && !tryAnyway) holdAgainst(needed, memory);
  let begin = (): void => undefined;
  const hash = new Promise<void>((resolve) => { begin = resolve; }).then(() => fingerprint(opened.files, signal));
  hash.catch(() => undefined); // awaited at the end; a load that fails before has its own reason
  signal.throwIfAborted();
  step('Opening the database', 0);
  const database = await open();
  const interrupt = (): void => { database.interrupt(); };
  signal.addEventListener('abort', interrupt);
  try {
    const { source, report } = await loadTables(database, { ...opened, tables: whenRead(opened.tables, begin) }, step, signal);
    const extract = { database, source: { ...source, fingerprint: await hash } };
    await database.seal();
    return { status: 'loaded', extract, report, memoryNeeded: needed };
  } catch (error) {
    await database.close();
    throw error;
  } finally {
    signal.removeEventListener('abort', interrupt);
  }
}

/** Hears when the procedures have been read, the most of all: from then on the engine often works alone, and other work costs no time. */
function whenRead(tables: Opened['tables'], then: () => void): Opened['tables'] {
  const read = tables.get('procedures');
  if (read === undefined) then();
  return read === undefined ? tables : new Map([...tables, ['procedures', (...given) => read(...given).finally(then)]]);
}

/** Files in the form of the data package. */
async function openContract(given: readonly ExtractFile[], signal: AbortSignal): Promise<Opened> {
  const found = await findTables(given, signal);
  const tables = await openTables(found.tables), records = new Map<TableName, number>();
  const bytes = new Map<TableName, number>(), files: ExtractFile[] = [];
  for (const { table, file, format, values } of found.tables) {
    records.set(table, (records.get(table) ?? 0) + await recordsIn(file.content, format));
    bytes.set(table, (bytes.get(table) ?? 0) + file.content.size);
    if (values.size > 0) files.push({ name: file.name, content: new Blob([canonicalJson(Object.fromEntries(values))]) }); // what it says belongs to the fingerprint
    files.push(file);
  }
  return { tables, records, files, bytes, found };
}
