import type { LoadReport } from '../../contract/loadReport';
import { tables, type TableName } from '../../contract/tables';
import { compress, type LoadingDatabase } from '../database';
import type { Source } from '../loadedExtract';
import type { LoadProgress } from '../loadProgress';
import { acceptAsStaged, acceptBelonging, acceptProcedures, acceptRevisions, dropHelpers, linkRevisions } from './acceptedTables';
import { createCodeTypes } from './codeTypes';
import { createFollowup } from './createFollowup';
import { createModelType, deriveModels } from './derivedModels';
import { setAsideDuplicates } from './duplicates';
import { loadReport } from './loadReport';
import { countOf, createFindings, failing, isLarge, setAsideRecords, setAsideValues, staging, type Check, type Reading, type StagedTable } from './loading';
import type { Opened } from './openMapped';
import { readRegistry, refuseEmpty } from './readRegistry';
import {
  componentChecks, deathChecks, followupChecks, modelChecks, modelValueChecks, procedureChecks, procedureValueChecks,
  revisionChecks, revisionValueChecks,
} from './recordChecks';
import { createRevisionLink } from './revisionLink';
import { createSeveral } from './severalProcedures';
import { stagePlan, type Stage } from './stagePlan';
import { stageNothing } from './stageTable';

/** Says what is done next and how far the load has come; throws where it was aborted. */
export type Step = (label: string, fraction: number, rows?: LoadProgress['rows']) => void;

const rowsUncompressed = 500_000; // bounds the memory of those that have just been read

/** Takes the opened tables through every check into the database. Throws a Refusal where they make no extract. */
export async function loadTables(
  database: LoadingDatabase, { tables: opened, bytes, found }: Opened, step: Step, signal: AbortSignal,
): Promise<{ source: Omit<Source, 'fingerprint'>; report: LoadReport }> {
  const staged = new Map<TableName, StagedTable>(), kept = new Map<TableName, number>();
  const plan = stagePlan(bytes);
  /** Says what is being done; hears which share of the stage is done. */
  const begin = (stage: Stage | null, label: string): ((fraction: number, rows?: LoadProgress['rows']) => void) => {
    const { from, to } = stage === null ? { from: 0, to: 0 } : plan(stage);
    step(label, from);
    return (fraction, rows) => { step(label, from + (to - from) * fraction, rows); };
  };
  const stage = async (table: TableName, name: Stage | null): Promise<void> => {
    const read = opened.get(table), onPart = begin(name, `Reading ${tables[table].title.toLowerCase()}`);
    let compressed = 0;
    const onRead: Reading['onRead'] = async (fraction, rows) => {
      onPart(fraction, rows);
      if (!isLarge(table) || rows.done - compressed < rowsUncompressed) return;
      compressed = rows.done;
      await compress(database);
    };
    staged.set(table, read === undefined ? await stageNothing(database, table) : await read(database, { signal, onRead }));
    if (isLarge(table)) await compress(database); // the rest: checks are quicker on what is compressed
  };
  const check = async (table: TableName, name: Stage | null, checks: readonly Check[], valueChecks: readonly Check[] = []): Promise<void> => {
    const onCheck = begin(name, `Checking ${tables[table].title.toLowerCase()}`);
    if (staged.get(table)?.read !== 0) {
      await setAsideDuplicates(database, table, tables[table].primaryKey.map((key) => (key === 'procedure_id' && table !== 'procedures' ? 'procedure' : key)));
      const needed = await failing(database, table, [...checks, ...valueChecks]);
      for (const each of needed) {
        onCheck((needed.indexOf(each) + 1) / (1 + needed.length));
        await (checks.includes(each) ? setAsideRecords(database, each) : setAsideValues(database, each));
      }
    }
    kept.set(table, await countOf(database, staging(table)));
  };
  await createCodeTypes(database);
  await createFindings(database);
  await stage('registry', null);
  const { dates, source } = await readRegistry(database, staged.get('registry'));
  await stage('models', null);
  await check('models', null, modelChecks(), modelValueChecks());
  const catalogued = opened.has('models');
  await createModelType(database, catalogued);
  await stage('procedures', 'read procedures');
  await stage('deaths', 'read deaths');
  await check('deaths', 'check deaths', deathChecks(dates));
  begin('check procedures', 'Checking procedures');
  await createSeveral(database);
  await check('procedures', 'check procedures', procedureChecks(dates), procedureValueChecks());
  await stage('revisions', 'read revisions');
  await createRevisionLink(database);
  await check('revisions', 'check revisions', revisionChecks(dates), revisionValueChecks());
  const onLink = begin('link procedures', 'Linking re-operations to procedures');
  const someLate = await linkRevisions(database, dates);
  for (const table of ['procedures', 'revisions'] as const) kept.set(table, await countOf(database, staging(table)));
  if (kept.get('procedures') === 0) await refuseEmpty(database, staged.get('procedures'));
  const accepted = await acceptProcedures(database, staged.get('procedures')?.fields ?? new Set(), (fraction) => { onLink(0.4 + 0.5 * fraction); });
  await acceptRevisions(database, dates);
  await compress(database);
  await stage('components', 'read components');
  await check('components', 'check components', componentChecks(catalogued));
  if (!catalogued) await deriveModels(database);
  await acceptBelonging(database, 'components');
  await stage('followups', 'read followups');
  await check('followups', 'check followups', followupChecks(dates));
  await acceptBelonging(database, 'followups');
  kept.set('registry', await countOf(database, staging('registry')));
  for (const table of ['models', 'deaths', 'registry'] as const) await acceptAsStaged(database, table);
  const onFollow = begin('follow procedures', 'Working out follow-up');
  await createFollowup(database, { ...accepted, someLate, catalogued, closing: dates.closing }, onFollow);
  await dropHelpers(database);
  const report = await loadReport(database, { staged, kept, dates, found });
  await compress(database);
  return { source, report };
}
