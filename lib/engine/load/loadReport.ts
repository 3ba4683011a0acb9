import { tableNames } from '../../contract/fields';
import type { Finding, LoadReport, RuleCount, TableReport } from '../../contract/loadReport';
import { rules, type RuleId } from '../../contract/rules';
import type { TableName } from '../../contract/tables';
import { sql, type Database } from '../database';
import type { StagedTable } from './loading';

const examplesShown = 5;

/** Makes the table `set_aside` from the findings, with line numbers, and the report from it. */
export async function loadReport(
  database: Database, staged: ReadonlyMap<TableName, StagedTable>, kept: ReadonlyMap<TableName, number>,
): Promise<LoadReport> {
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
  return {
    tables: tableNames.map((table) => tableReport(table, staged.get(table), kept.get(table) ?? 0, ruleCounts)),
    rules: ruleCounts,
    revisions: {
      linkedById: counted('by_id'), linkedByPatientJointSide: counted('by_side'), firstRevisions: counted('first_revisions'),
      reRevisions: counted('re_revisions'), reoperations: counted('reoperations'), afterFollowUp: counted('after_follow_up'),
    },
    ignoredFiles: [],
    notes: [],
  };
}

/** What must hold however the extract looks. Where it does not, the loading is at fault, and no number may be shown. */
async function assertEndings(database: Database, procedures: number, firstRevisions: number): Promise<void> {
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS n, (count(*) FILTER (WHERE ending = 'revision'))::INTEGER AS revised,
    (count(*) FILTER (WHERE kind IS NOT NULL))::INTEGER AS with_kind, (count(*) FILTER (WHERE NOT exit_day >= 0))::INTEGER AS negative,
    count(DISTINCT procedure)::INTEGER AS distinct_procedures FROM followup`));
  const found = ['n', 'distinct_procedures', 'revised', 'with_kind', 'negative'].map((name) => rows.numbers(name)[0]).join(', ');
  const right = [procedures, procedures, firstRevisions, firstRevisions, 0].join(', ');
  if (found !== right) throw new Error(`follow-up does not add up: ${found}, but should be ${right}`);
}

function tableReport(table: TableName, staged: StagedTable | undefined, kept: number, ruleCounts: readonly RuleCount[]): TableReport {
  const total = (scope: RuleCount['scope']): number =>
    ruleCounts.filter((rule) => rule.table === table && rule.scope === scope).reduce((sum, { count }) => sum + count, 0);
  const { file = null, countedIn = 'lines', read = 0, ignoredColumns = [] } = staged ?? {};
  const setAside = total('record');
  if (read !== kept + setAside) throw new Error(`${file ?? table}: ${read} records read, but ${kept} kept and ${setAside} set aside`);
  return { table, file, countedIn, read, kept, setAside, valuesSetAside: total('value'), ignoredColumns };
}

/** Line of a record: its number, plus the header, plus the lines before it that start no accepted record. */
async function createSetAside(database: Database): Promise<void> {
  await database.query(sql(`DELETE FROM finding f WHERE scope = 'value' AND EXISTS (
    SELECT 1 FROM finding r WHERE r.scope = 'record' AND r."table" = f."table" AND r.record = f.record)`));
  await database.query(sql(`CREATE TABLE set_aside AS
    SELECT "table", coalesce(line, record + 2) AS line, field, rule, scope,
      CASE WHEN other IS NULL THEN value ELSE concat_ws(', ', value, 'line ' || (other + 2)) END AS value
    FROM finding ORDER BY "table", line, field`));
  await database.query(sql('DROP TABLE finding'));
}

async function countRules(database: Database): Promise<RuleCount[]> {
  const rows = await database.query(sql(`SELECT "table", field, rule, scope, count(*)::INTEGER AS n
      FROM set_aside GROUP BY ALL ORDER BY 1, 2, 3`));
  const found: RuleCount[] = [];
  for (let i = 0; i < rows.rowCount; i++) {
    const table = rows.texts('table')[i] as TableName, field = rows.texts('field')[i] ?? '', rule = rows.texts('rule')[i] as RuleId;
    const scope = rows.texts('scope')[i] as RuleCount['scope'];
    found.push({ table, field, rule, title: rules[rule].title, scope, count: rows.numbers('n')[i] ?? 0, examples: await examples(database, table, field, rule, scope) });
  }
  return found;
}

async function examples(database: Database, ...key: readonly [string, string, string, string]): Promise<Finding[]> {
  const rows = await database.query(sql(`SELECT line::INTEGER AS line, value FROM set_aside
    WHERE "table" = ? AND field = ? AND rule = ? AND scope = ? ORDER BY line LIMIT ${examplesShown}`, ...key));
  const lines = rows.numbers('line'), values = rows.texts('value');
  return values.map((value, i) => ({ line: lines[i] ?? 0, value }));
}
