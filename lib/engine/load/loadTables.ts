import type { LoadReport } from '../../contract/loadReport';
import { tables, type TableName } from '../../contract/tables';
import type { LoadingDatabase } from '../database';
import type { Source } from '../loadedExtract';
import type { LoadProgress } from '../loadProgress';
import { acceptAsStaged, acceptBelonging, acceptProcedures, acceptRevisions, dropHelpers, linkRevisions } from './acceptedTables';
import { createCodeTypes } from './codeTypes';
import { createFollowup } from './createFollowup';
import { createModelType, deriveModels } from './derivedModels';
import type { FoundTables } from './findTables';
import { loadReport } from './loadReport';
import { countOf, createFindings, setAsideDuplicates, setAsideRecords, setAsideValues, staging, type Check, type Reading, type StagedTable } from './loading';
import type { OpenTable } from './openTables';
import { readRegistry, refuseEmpty } from './readRegistry';
import {
  componentChecks, deathChecks, followupChecks, lostPrimaryCheck, modelChecks, modelValueChecks, procedureChecks, procedureValueChecks,
  revisionChecks, revisionValueChecks,
} from './recordChecks';
import { createRevisionLink } from './revisionLink';
import { stageNothing } from './stageTable';

/** Says what is done next and how far the load has come; throws where it was aborted. */
export type Step = (label: string, fraction: number, rows?: LoadProgress['rows']) => void;

/** Takes the opened tables through every check into the database. Throws a Refusal where they make no extract. */
export async function loadTables(
  database: LoadingDatabase, found: FoundTables, opened: ReadonlyMap<TableName, OpenTable>, step: Step, signal: AbortSignal,
): Promise<{ source: Omit<Source, 'fingerprint'>; report: LoadReport }> {
  const staged = new Map<TableName, StagedTable>(), kept = new Map<TableName, number>();
  const stage = async (table: TableName, from: number, to: number): Promise<void> => {
    const read = opened.get(table), label = `Reading ${tables[table].title.toLowerCase()}`;
    step(label, from);
    const onRead: Reading['onRead'] = (fraction, rows) => { step(label, from + (to - from) * fraction, rows); };
    staged.set(table, read === undefined ? await stageNothing(database, table) : await read(database, { signal, onRead }));
  };
  const check = async (table: TableName, checks: readonly Check[], valueChecks: readonly Check[] = []): Promise<void> => {
    if (staged.get(table)?.read !== 0) {
      await setAsideDuplicates(database, table, tables[table].primaryKey.map((name) => (name === 'procedure_id' && table !== 'procedures' ? 'procedure' : name)));
      for (const each of checks) await setAsideRecords(database, each);
      for (const each of valueChecks) await setAsideValues(database, each);
    }
    kept.set(table, await countOf(database, staging(table)));
  };
  await createCodeTypes(database);
  await createFindings(database);
  await stage('registry', 0, 0);
  const { dates, source } = await readRegistry(database, staged.get('registry'));
  await stage('models', 0.01, 0.01);
  await check('models', modelChecks(), modelValueChecks());
  const catalogued = opened.has('models');
  await createModelType(database, catalogued);
  await stage('deaths', 0.02, 0.05);
  await check('deaths', deathChecks(dates));
  await stage('procedures', 0.05, 0.25);
  await check('procedures', procedureChecks(dates), procedureValueChecks());
  await stage('revisions', 0.3, 0.32);
  await createRevisionLink(database);
  await check('revisions', revisionChecks(dates), revisionValueChecks());
  step('Linking re-operations to procedures', 0.35);
  await linkRevisions(database, dates);
  await setAsideRecords(database, lostPrimaryCheck());
  for (const table of ['procedures', 'revisions'] as const) kept.set(table, await countOf(database, staging(table)));
  if (kept.get('procedures') === 0) await refuseEmpty(database, staged.get('procedures'));
  await acceptProcedures(database);
  await acceptRevisions(database);
  await stage('components', 0.45, 0.68);
  await check('components', componentChecks(catalogued));
  if (!catalogued) await deriveModels(database);
  await acceptBelonging(database, 'components');
  await stage('followups', 0.75, 0.8);
  await check('followups', followupChecks(dates));
  await acceptBelonging(database, 'followups');
  kept.set('registry', await countOf(database, staging('registry')));
  for (const table of ['models', 'deaths', 'registry'] as const) await acceptAsStaged(database, table);
  const followingUp = 'Working out follow-up';
  step(followingUp, 0.8);
  await createFollowup(database, { procedures: kept.get('procedures') ?? 0, catalogued }, (fraction) => { step(followingUp, 0.8 + 0.2 * fraction); });
  await dropHelpers(database);
  const report = await loadReport(database, { staged, kept, dates, found });
  return { source, report };
}
