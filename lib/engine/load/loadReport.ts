import { tableNames } from '../../contract/fields';
import type { Finding, LoadReport, RuleCount, TableReport } from '../../contract/loadReport';
import { rules, type RuleId } from '../../contract/rules';
import type { TableName } from '../../contract/tables';
import { sql, type Database, type ResultSet } from '../database';
import { joinLines, lineOf } from '../lines';
import { countRecorded } from './countRecorded';
import { createLineStarts } from './createLineStarts';
import type { FoundTables } from './findTables';
import type { StagedTable } from './loading';
import type { RegistryDates } from './recordChecks';
import { unrecordedNotes } from './unrecordedNotes';

const examplesShown = 5;

export interface Loaded {
  readonly staged: ReadonlyMap<TableName, StagedTable>;
  readonly kept: ReadonlyMap<TableName, number>; // records
  readonly dates: RegistryDates;
  readonly found: Pick<FoundTables, 'ignoredFiles' | 'notes'>;
}

/** Makes the table `set_aside` from the findings, with line numbers, and the report from it. */
export async function loadReport(database: Database, { staged, kept, dates, found }: Loaded): Promise<LoadReport> {
  await createSetAside(database);
  const ruleCounts = await countRules(database);
  const revisions = await database.query(sql(`SELECT
      (count(*) FILTER (WHERE linked_by_id))::INTEGER AS by_id, (count(*) FILTER (WHERE NOT linked_by_id))::INTEGER AS by_side,
      (count(*) FILTER (WHERE counts_as = 'first_revision'))::INTEGER AS first_revisions,
      (count(*) FILTER (WHERE counts_as = 're_revision'))::INTEGER AS re_revisions,
      (count(*) FILTER (WHERE counts_as = 'reoperation'))::INTEGER AS reoperations,
      (count(*) FILTER (WHERE counts_as = 'after_follow_up'))::INTEGER AS after_follow_up FROM revisions`));
  const counted = (name: string): number => revisions.numbers(name)[0] ?? 0;
  await assertEndings(database, kept.get('procedures') ?? 0, counted('first_revisions'));
  const recorded = await countRecorded(database);
  const unrecorded = await unrecordedNotes(database, recorded, staged.get('models')?.file !== null);
  return {
    tables: tableNames.map((table) => tableReport(table, staged.get(table), kept.get(table) ?? 0, ruleCounts)),
    rules: ruleCounts,
    revisions: {
      linkedById: counted('by_id'), linkedByPatientJointSide: counted('by_side'), firstRevisions: counted('first_revisions'),
      reRevisions: counted('re_revisions'), reoperations: counted('reoperations'), afterFollowUp: counted('after_follow_up'),
    },
    recorded,
    ignoredFiles: found.ignoredFiles,
    notes: [...found.notes, ...notesOf(staged, kept, dates, ruleCounts), ...unrecorded],
  };
}

/** What a reader of any number must know about the extract, in finished sentences. */
function notesOf(
  staged: Loaded['staged'], kept: Loaded['kept'], { closing, deathsClosing }: RegistryDates, ruleCounts: readonly RuleCount[],
): string[] {
  const notes: string[] = [];
  if (staged.get('deaths')?.file === null) {
    notes.push('There is no table of deaths: patients who died are followed up as if they were alive, and death can’t be shown as a competing event.');
  } else if (deathsClosing < closing) {
    notes.push(`Deaths are complete to ${deathsClosing} only, revisions to ${closing}: between the two, patients who died are followed up as if they were alive.`);
  }
  for (const { file, missingColumns } of staged.values()) {
    if (file !== null && missingColumns.length > 0) notes.push(`${file} has no column ${missingColumns.join(', ')}; read as empty in every record.`);
  }
  const lost = ruleCounts.filter(({ table, scope }) => table === 'revisions' && scope === 'record').reduce((sum, { count }) => sum + count, 0);
  if (lost > 0) {
    notes.push(`${lost.toLocaleString('en')} of ${(lost + (kept.get('revisions') ?? 0)).toLocaleString('en')} re-operations were set aside; where one was a revision, its procedure counts as not revised.`);
  }
  return notes;
}

/** What must hold however the extract looks. Where it does not, the loading is at fault, and no number may be shown. */
async function assertEndings(database: Database, procedures: number, firstRevisions: number): Promise<void> {
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS n, (count(*) FILTER (WHERE ending = 'revision'))::INTEGER AS revised,
    (count(*) FILTER (WHERE kind IS NOT NULL))::INTEGER AS with_kind, (count(*) FILTER (patient <= procedure))::INTEGER AS with_patient,
    (count(*) FILTER (WHERE exit_day < 0 OR exit_day <= entry_day))::INTEGER AS without_time FROM followup`));
  const found = ['n', 'with_patient', 'revised', 'with_kind', 'without_time'].map((name) => rows.numbers(name)[0]).join(', ');
  const right = [procedures, procedures, firstRevisions, firstRevisions, 0].join(', ');
  if (found !== right) throw new Error(`follow-up does not add up: ${found}, but should be ${right}`);
}

function tableReport(table: TableName, staged: StagedTable | undefined, kept: number, ruleCounts: readonly RuleCount[]): TableReport {
  const total = (scope: RuleCount['scope']): number =>
    ruleCounts.filter((rule) => rule.table === table && rule.scope === scope).reduce((sum, { count }) => sum + count, 0);
  const { file = null, countedIn = 'lines', read = 0, ignoredColumns = [], withoutRecord = [] } = staged ?? {};
  const setAside = total('record');
  if (read !== kept + setAside) throw new Error(`${file ?? table}: ${read} records read, but ${kept} kept and ${setAside} set aside`);
  return { table, file, countedIn, read, kept, setAside, valuesSetAside: total('value'), ignoredColumns, withoutRecord };
}

async function createSetAside(database: Database): Promise<void> {
  await database.query(sql(`DELETE FROM finding f WHERE scope = 'value' AND EXISTS (
    SELECT 1 FROM finding r WHERE r.scope = 'record' AND r."table" = f."table" AND r.record = f.record)`));
  await createLineStarts(database);
  await database.query(sql(`CREATE TABLE set_aside AS
    SELECT f."table", coalesce(f.file, s.file) AS file, f.record, coalesce(f.line, ${lineOf('f.record', 's')})::INTEGER AS line, f.field, f.rule, f.scope,
      CASE WHEN f.other IS NULL THEN f.value ELSE concat_ws(', ', f.value, 'see line ' || ${lineOf('f.other', 'o')} || CASE WHEN o.file <> s.file THEN ' of ' || o.file ELSE '' END) END AS value,
      f.primary_record, ${lineOf('f.primary_record', 'p')} AS primary_line
    FROM finding f ${joinLines('s', 'f."table"', 'f.record')} ${joinLines('o', 'f."table"', 'f.other')} ${joinLines('p', "'procedures'", 'f.primary_record')}
    ORDER BY f."table", 2, 4, f.field`));
  await database.query(sql('DROP TABLE finding'));
  for (const table of ['skipped_line', 'file_part']) await database.query(sql(`DROP TABLE ${table}`));
}

async function countRules(database: Database): Promise<RuleCount[]> {
  const key = '"table", field, rule, scope';
  const rows = await database.query(sql(`SELECT ${key}, count(*)::INTEGER AS n FROM set_aside GROUP BY ALL ORDER BY 1, 2, 3`));
  const shown = await database.query(sql(`SELECT ${key}, file, line::INTEGER AS line, value FROM set_aside
    QUALIFY row_number() OVER (PARTITION BY ${key} ORDER BY file, line) <= ${examplesShown} ORDER BY file, line`));
  const keys = (found: ResultSet): string[] => {
    const parts = ['table', 'field', 'rule', 'scope'].map((name) => found.texts(name));
    return (parts[0] ?? []).map((_, i) => parts.map((part) => part[i]).join('|'));
  };
  const of = keys(shown), files = shown.texts('file'), lines = shown.numbers('line'), values = shown.texts('value');
  const examples = (found: string): Finding[] => values.flatMap((value, i) => (of[i] === found ? [{ file: files[i] ?? null, line: lines[i] ?? 0, value }] : []));
  const names = rows.texts('table'), fields = rows.texts('field'), ids = rows.texts('rule'), scopes = rows.texts('scope'), counts = rows.numbers('n');
  return keys(rows).map((found, i) => {
    const rule = ids[i] as RuleId;
    return {
      table: names[i] as TableName, field: fields[i] ?? '', rule, title: rules[rule].title, scope: scopes[i] as RuleCount['scope'], count: counts[i] ?? 0,
      examples: examples(found),
    };
  });
}
