import { tableNames } from '../contract/fields';
import type { LoadReport, Problem } from '../contract/loadReport';
import type { TableName } from '../contract/tables';
import { sql, type LoadingDatabase, type OpenDatabase } from './database';
import type { ExtractFile } from './extractFile';
import { acceptAsStaged, acceptBelonging, acceptProcedures, acceptRevisions, createEnum, linkRevisions } from './load/acceptedTables';
import { createCodeTypes } from './load/codeTypes';
import { createFollowup } from './load/createFollowup';
import { loadReport } from './load/loadReport';
import { countOf, createFindings, setAsideRecords, setAsideValues, staging, type Check, type StagedTable } from './load/loading';
import { readCsv } from './load/readCsv';
import {
  componentChecks, deathChecks, followupChecks, lostPrimaryCheck, modelChecks, modelValueChecks, procedureChecks, procedureValueChecks,
  revisionChecks, revisionValueChecks, type RegistryDates,
} from './load/recordChecks';
import { stageTable, settleCells } from './load/stageTable';
import type { LoadedExtract, Source } from './loadedExtract';

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
  const interrupt = (): void => { database.interrupt(); };
  options.signal?.addEventListener('abort', interrupt);
  try {
    const result = await load(database, files, options);
    if (result.status === 'refused') await database.close();
    return result;
  } catch (error) {
    await database.close();
    options.signal?.throwIfAborted();
    throw error;
  } finally {
    options.signal?.removeEventListener('abort', interrupt);
  }
}

async function load(database: LoadingDatabase, files: readonly ExtractFile[], { onProgress, signal }: LoadOptions): Promise<LoadResult> {
  const step = (label: string, fraction: number): void => {
    signal?.throwIfAborted();
    onProgress?.({ label, fraction });
  };
  const staged = new Map<TableName, StagedTable>();
  const stage = async (table: TableName): Promise<void> => {
    const file = files.find(({ name }) => name === `${table}.csv`);
    if (file === undefined) {
      await stageTable(database, table, '(SELECT 0 AS record WHERE false)', new Set());
      await settleCells(database, table);
      staged.set(table, { table, file: null, countedIn: 'lines', read: 0, ignoredColumns: [], missingColumns: [] });
    } else {
      staged.set(table, await readCsv(database, table, file));
    }
  };
  const check = async (checks: readonly Check[], valueChecks: readonly Check[] = []): Promise<void> => {
    for (const each of checks) await setAsideRecords(database, each);
    for (const each of valueChecks) await setAsideValues(database, each);
  };

  await createCodeTypes(database);
  await createFindings(database);
  await database.query(sql('CREATE TABLE gone_procedure (procedure_id VARCHAR, patient_id VARCHAR, joint joint_code, side side_code, procedure_date DATE)'));
  step('Reading the description of the extract', 0);
  await stage('registry');
  const { dates, source } = await readRegistry(database);
  await stage('models');
  await check(modelChecks(), modelValueChecks());
  await createEnum(database, 'model_code', `SELECT DISTINCT model_code FROM ${staging('models')}`);
  step('Reading deaths', 0.02);
  await stage('deaths');
  await check(deathChecks(dates));
  step('Reading procedures', 0.05);
  await stage('procedures');
  await check(procedureChecks(dates), procedureValueChecks());
  step('Reading re-operations', 0.35);
  await stage('revisions');
  await check(revisionChecks(dates), revisionValueChecks());
  step('Linking re-operations to procedures', 0.4);
  await linkRevisions(database, dates);
  await check([lostPrimaryCheck()]);
  step('Reading components', 0.45);
  await stage('components');
  await check(componentChecks());
  await stage('followups');
  await check(followupChecks(dates));
  const kept = new Map<TableName, number>();
  for (const table of tableNames) kept.set(table, await countOf(database, staging(table)));
  step('Putting procedures in order', 0.75);
  await acceptProcedures(database);
  await acceptRevisions(database);
  await acceptBelonging(database, 'components');
  await acceptBelonging(database, 'followups');
  for (const table of ['models', 'deaths', 'registry'] as const) await acceptAsStaged(database, table);
  step('Working out follow-up', 0.8);
  await createFollowup(database, kept.get('procedures') ?? 0, (fraction) => { step('Working out follow-up', 0.8 + 0.2 * fraction); });
  const report = await loadReport(database, staged, kept);
  await database.seal();
  return { status: 'loaded', extract: { database, source }, report };
}

async function readRegistry(database: LoadingDatabase): Promise<{ dates: RegistryDates; source: Source }> {
  const row = await database.query(sql(`SELECT name, version, opened, closing_date, deaths_closing_date FROM ${staging('registry')}`));
  const text = (name: string): string => row.texts(name)[0] ?? '';
  return {
    dates: { opened: text('opened'), closing: text('closing_date'), deathsClosing: text('deaths_closing_date') },
    source: { registry: text('name'), version: text('version'), opened: text('opened'), closingDate: text('closing_date'), fingerprint: '' },
  };
}
