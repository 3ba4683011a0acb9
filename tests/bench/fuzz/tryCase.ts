import { parse } from 'csv-parse/sync';
import type { LoadReport } from '../../../lib/contract/loadReport';
import { sql, type OpenDatabase } from '../../../lib/engine/database';
import { loadExtract } from '../../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../../lib/engine/loadedExtract';
import type { ExtractFile } from '../../../lib/intake/extractFile';
import { inspect } from '../../../lib/intake/inspect';
import type { FuzzCase } from './cases';
import { identifier } from './seedExtract';

export interface Tried {
  readonly outcome: 'loaded' | 'refused' | 'failed';
  /** What must never happen, in words; empty where all is well. */
  readonly failures: readonly string[];
  /** Tables of which the number of records was counted a second time, by another reader of CSV. */
  readonly counted: number;
}

/** Loads the files of a case and holds what comes of it against what must always be true. */
export async function tryCase({ files, movesKeys, mapping }: FuzzCase, open: OpenDatabase): Promise<Tried> {
  const failures: string[] = [];
  let opened = 0;
  const counting: OpenDatabase = async () => {
    const database = await open();
    opened++;
    return { ...database, close: async () => { opened--; await database.close(); } };
  };
  let result: Awaited<ReturnType<typeof loadExtract>>;
  try {
    if (mapping !== undefined) await inspect(files, new AbortController().signal);
    result = await loadExtract(counting, files, { mapping });
  } catch (error) {
    return { outcome: 'failed', failures: [`threw: ${error instanceof Error ? `${error.name}: ${error.message}` : String(error)}`, ...(opened === 0 ? [] : ['left a database open'])], counted: 0 };
  }
  const said = JSON.stringify(result.status === 'loaded' ? result.report : result.problems);
  const leaked = identifier.exec(said);
  if (leaked !== null && !movesKeys) failures.push(`a key in what is said: ${said.slice(Math.max(0, leaked.index - 120), leaked.index + 60)}`);
  if (result.status === 'refused') {
    if (result.problems.length === 0) failures.push('refused without a problem');
    for (const { rule, message } of result.problems) if (rule === '' || message.trim() === '') failures.push('a problem without a rule or a message');
    if (opened !== 0) failures.push('left a database open');
    return { outcome: 'refused', failures, counted: 0 };
  }
  let counted = 0;
  try {
    failures.push(...await unaccounted(result.extract, result.report));
    for (const { table, file, countedIn, read } of result.report.tables) {
      const records = mapping !== undefined || file === null || countedIn === 'rows' ? null : await countRecords(files.find(({ name }) => name === file));
      if (records === null) continue;
      counted++;
      if (records !== read) failures.push(`${table}: ${read} records read, ${records} by another reader`);
    }
  } finally {
    await result.extract.database.close();
  }
  return { outcome: 'loaded', failures, counted };
}

/** Records of which it is not said, in the report and row by row, what became of them. */
async function unaccounted({ database }: LoadedExtract, report: LoadReport): Promise<string[]> {
  const failures: string[] = [];
  const rows = await database.query(sql('SELECT "table" AS name, scope, count(*)::INTEGER AS n, count(DISTINCT (file, line))::INTEGER AS lines FROM set_aside GROUP BY ALL'));
  const names = rows.texts('name'), scopes = rows.texts('scope'), counts = rows.numbers('n'), lines = rows.numbers('lines');
  for (const { table, read, kept, setAside } of report.tables) {
    if (read !== kept + setAside) failures.push(`${table}: ${read} read, ${kept} kept, ${setAside} set aside`);
    const at = names.findIndex((name, i) => name === table && scopes[i] === 'record');
    if ((at < 0 ? 0 : counts[at]) !== setAside) failures.push(`${table}: ${setAside} set aside, ${counts[at] ?? 0} listed`);
    if (at >= 0 && lines[at] !== counts[at]) failures.push(`${table}: ${counts[at] ?? 0} records set aside on ${lines[at] ?? 0} lines`);
  }
  const followup = await database.query(sql('SELECT count(*)::INTEGER AS n FROM followup'));
  if (followup.numbers('n')[0] !== report.tables.find(({ table }) => table === 'procedures')?.kept) failures.push('follow-up does not hold the procedures that were kept');
  return failures;
}

/** The records of a CSV file by another reader of CSV; null where it takes the text for malformed. */
async function countRecords(file: ExtractFile | undefined): Promise<number | null> {
  if (file === undefined) return null;
  try {
    const records = parse(Buffer.from(await file.content.arrayBuffer()), { bom: true, relax_column_count: true, skip_empty_lines: true, record_delimiter: ['\r\n', '\n'] });
    return records.length - 1;
  } catch {
    return null;
  }
}
