import type { LoadReport } from '../contract/loadReport';
import type { ExtractFile } from '../intake/extractFile';
import { quoteText, sql, type OpenDatabase } from './database';
import { loadExtract, type LoadResult } from './loadExtract';
import type { LoadedExtract, Source } from './loadedExtract';

/** What came out of loading an extract, to go with the database file that holds it. */
export interface SavedExtract {
  readonly source: Source;
  readonly report: LoadReport;
  readonly memoryNeeded: number; // bytes
}

/**
 * Loads an extract, saves what the load made of it as a database file, and closes it after `ask`. The engine must be able to write files.
 * Throws where the extract is refused.
 */
export async function saveExtract(open: OpenDatabase, files: readonly ExtractFile[], path: string, ask: (extract: LoadedExtract) => Promise<void> = () => Promise.resolve()): Promise<SavedExtract> {
  const result = await loadExtract(async () => {
    const database = await open();
    return {
      ...database,
      seal: async () => {
        await database.query(sql(`ATTACH ${quoteText(path)} AS saved`));
        await database.query(sql('COPY FROM DATABASE extract TO saved'));
        await database.query(sql('DETACH saved'));
        await database.seal();
      },
    };
  }, files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join('\n'));
  try {
    await ask(result.extract);
  } finally {
    await result.extract.database.close();
  }
  return { source: result.extract.source, report: result.report, memoryNeeded: result.memoryNeeded };
}

/** Opens a saved extract in a database of its own: the same tables as after loading its files, without reading and checking them again. */
export async function openSaved(open: OpenDatabase, { source, report, memoryNeeded }: SavedExtract, file: Uint8Array<ArrayBuffer>): Promise<LoadResult> {
  const database = await open();
  try {
    const path = await database.registerBytes('saved.duckdb', file);
    for (const statement of ['USE memory', 'DETACH extract', `ATTACH ${quoteText(path)} AS extract (READ_ONLY)`, 'USE extract']) await database.query(sql(statement));
    await database.seal();
  } catch (error) {
    await database.close();
    throw error;
  }
  return { status: 'loaded', extract: { database, source }, report, memoryNeeded };
}
