import { tableNames } from '../contract/fields';
import type { LoadReport, Problem } from '../contract/loadReport';
import type { TableName } from '../contract/tables';
import type { LoadingDatabase, OpenDatabase } from './database';
import type { ExtractFile } from './extractFile';
import { acceptAsStaged, acceptBelonging, acceptProcedures, acceptRevisions, createEnum, linkRevisions } from './load/acceptedTables';
import { createCodeTypes } from './load/codeTypes';
import { createFollowup } from './load/createFollowup';
import { readHeader } from './load/csvHeader';
import { findTables, type TableFile } from './load/findTables';
import { fingerprint } from './load/fingerprint';
import { loadReport } from './load/loadReport';
import { countOf, createFindings, setAsideRecords, setAsideValues, staging, type Check, type StagedTable } from './load/loading';
import { readCsv } from './load/readCsv';
import { openParquet, readParquet } from './load/readParquet';
import { readRegistry, refuseEmpty } from './load/readRegistry';
import {
  componentChecks, deathChecks, followupChecks, lostPrimaryCheck, modelChecks, modelValueChecks, procedureChecks, procedureValueChecks,
  revisionChecks, revisionValueChecks,
} from './load/recordChecks';
import { Refusal } from './load/refusal';
import { stageNothing } from './load/stageTable';
import { scanText } from './load/textScan';
import type { LoadedExtract } from './loadedExtract';

export interface LoadProgress {
  readonly label: string; // what is being done, in plain words
  readonly fraction: number; // 0–1 of the whole load
}

export interface LoadOptions {
  readonly onProgress?: (progress: LoadProgress) => void;
  readonly signal?: AbortSignal;
}

export type LoadResult =
  | { readonly status: 'loaded'; readonly extract: LoadedExtract; readonly report: LoadReport }
  | { readonly status: 'refused'; readonly problems: readonly Problem[] };

/**
 * Loads an extract into a database of its own, so that one loaded before stays as it is until the caller lets go of it.
 * Throws the signal's reason when aborted; the new database is closed then, and where anything fails.
 */
export async function loadExtract(open: OpenDatabase, files: readonly ExtractFile[], options: LoadOptions = {}): Promise<LoadResult> {
  options.signal?.throwIfAborted();
  const database = await open();
  const ended = new AbortController(); // ends what still reads files when the load ends in any way
  const signal = AbortSignal.any([ended.signal, ...(options.signal === undefined ? [] : [options.signal])]);
  const interrupt = (): void => { database.interrupt(); };
  options.signal?.addEventListener('abort', interrupt);
  try {
    return await load(database, files, { onProgress: options.onProgress ?? (() => undefined), signal });
  } catch (error) {
    await database.close();
    options.signal?.throwIfAborted();
    if (error instanceof Refusal) return { status: 'refused', problems: error.problems };
    throw error;
  } finally {
    ended.abort();
    options.signal?.removeEventListener('abort', interrupt);
  }
}

async function load(database: LoadingDatabase, files: readonly ExtractFile[], { onProgress, signal }: Required<Pick<LoadOptions, 'onProgress' | 'signal'>>): Promise<LoadResult> {
  const step = (label: string, fraction: number): void => {
    signal.throwIfAborted();
    onProgress({ label, fraction });
  };
  step('Looking at the files', 0);
  const found = await findTables(files, signal);
  const openTables = await openAll(found.tables);
  const print = fingerprint(found.tables.map(({ file }) => file), signal);
  print.catch(() => undefined); // awaited at the end; a load that fails before has its own reason
  const staged = new Map<TableName, StagedTable>();
  const stage = async (table: TableName): Promise<void> => {
    const opened = openTables.get(table);
    staged.set(table, opened === undefined ? await stageNothing(database, table) : await opened(database, signal));
  };
  const check = async (table: TableName, checks: readonly Check[], valueChecks: readonly Check[] = []): Promise<void> => {
    if (staged.get(table)?.read === 0) return;
    for (const each of checks) await setAsideRecords(database, each);
    for (const each of valueChecks) await setAsideValues(database, each);
  };

  await createCodeTypes(database);
  await createFindings(database);
  await stage('registry');
  const { dates, source } = await readRegistry(database, staged.get('registry'));
  await stage('models');
  await check('models', modelChecks(), modelValueChecks());
  await createEnum(database, 'model_code', `SELECT DISTINCT model_code FROM ${staging('models')}`);
  step('Reading deaths', 0.02);
  await stage('deaths');
  await check('deaths', deathChecks(dates));
  step('Reading procedures', 0.05);
  await stage('procedures');
  await check('procedures', procedureChecks(dates), procedureValueChecks());
  step('Reading re-operations', 0.3);
  await stage('revisions');
  await check('revisions', revisionChecks(dates), revisionValueChecks());
  step('Linking re-operations to procedures', 0.35);
  await linkRevisions(database, dates);
  await check('revisions', [lostPrimaryCheck()]);
  step('Reading components', 0.4);
  await stage('components');
  await check('components', componentChecks());
  step('Reading follow-up visits', 0.7);
  await stage('followups');
  await check('followups', followupChecks(dates));
  const kept = new Map<TableName, number>();
  for (const table of tableNames) kept.set(table, await countOf(database, staging(table)));
  if (kept.get('procedures') === 0) await refuseEmpty(database, staged.get('procedures'));
  step('Putting the tables in order', 0.75);
  await acceptProcedures(database);
  await acceptRevisions(database);
  await acceptBelonging(database, 'components');
  await acceptBelonging(database, 'followups');
  for (const table of ['models', 'deaths', 'registry'] as const) await acceptAsStaged(database, table);
  const followingUp = 'Working out follow-up';
  step(followingUp, 0.8);
  await createFollowup(database, kept.get('procedures') ?? 0, (fraction) => { step(followingUp, 0.8 + 0.2 * fraction); });
  const report = await loadReport(database, { staged, kept, dates, found });
  await database.seal();
  return { status: 'loaded', extract: { database, source: { ...source, fingerprint: await print } }, report };
}

type OpenTable = (database: LoadingDatabase, signal: AbortSignal) => Promise<StagedTable>;

/** Looks at the header or footer of every file, so that all that is wrong with them is said at once. */
async function openAll(found: readonly TableFile[]): Promise<ReadonlyMap<TableName, OpenTable>> {
  const problems: Problem[] = [];
  const opened = new Map<TableName, OpenTable>();
  for (const { table, file, format } of found) {
    if (format === 'csv') {
      const header = await readHeader(table, file);
      problems.push(...header.problems);
      opened.set(table, (database, signal) => readCsv(database, table, file, header.cells, scanText(file.name, file.content, header.cells.length, signal)));
    } else {
      try {
        const parquet = await openParquet(table, file);
        opened.set(table, (database, signal) => readParquet(database, table, parquet, signal));
      } catch (error) {
        if (!(error instanceof Refusal)) throw error;
        problems.push(...error.problems);
      }
    }
  }
  if (problems.length > 0) throw new Refusal(problems);
  return opened;
}
