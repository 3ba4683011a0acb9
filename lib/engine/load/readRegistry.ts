import { rules, type RuleId } from '../../contract/rules';
import { sql, type Database } from '../database';
import { joinLines, lineOf } from '../lines';
import type { Source } from '../loadedExtract';
import { createLineStarts } from './createLineStarts';
import { staging, type StagedTable } from './loading';
import type { RegistryDates } from './recordChecks';
import { problem, Refusal, refuse } from '../../intake/refusal';

/** The one row of `registry`, without which nothing can be dated. */
export async function readRegistry(database: Database, staged: StagedTable | undefined): Promise<{ dates: RegistryDates; source: Omit<Source, 'fingerprint'> }> {
  const file = staged?.file ?? null;
  await refuseFindings(database, 'registry', file);
  const row = await database.query(sql(`SELECT name, version, opened, closing_date, deaths_closing_date FROM ${staging('registry')}`));
  if (row.rowCount !== 1) refuse('one_row', `the table must hold one row; it holds ${row.rowCount}`, { file });
  const text = (name: string): string => row.texts(name)[0] ?? '';
  const [opened, closing, deathsClosing] = [text('opened'), text('closing_date'), text('deaths_closing_date')];
  if (closing < opened) refuse('dates_reversed', `the closing date ${closing} lies before the first day ${opened}`, { file, line: 2, field: 'closing_date', value: closing });
  if (deathsClosing < opened) {
    refuse('dates_reversed', `the closing date of deaths ${deathsClosing} lies before the first day ${opened}`, { file, line: 2, field: 'deaths_closing_date', value: deathsClosing });
  }
  return { dates: { opened, closing, deathsClosing }, source: { registry: text('name'), version: text('version'), opened, closingDate: closing } };
}

/** Where no procedure was kept, what stood in the way. */
export async function refuseEmpty(database: Database, staged: StagedTable | undefined): Promise<void> {
  const file = staged?.file ?? null;
  if (staged?.read === 0) refuse('no_records', 'the file holds a header but no records', { file });
  await refuseFindings(database, 'procedures', file);
  refuse('no_records', 'no procedure could be kept', { file });
}

const reasonsShown = 5;

/** Turns findings into problems: the rules that failed most often, each with its first example. */
async function refuseFindings(database: Database, table: 'registry' | 'procedures', file: string | null): Promise<void> {
  await createLineStarts(database);
  const line = `coalesce(f.line, ${lineOf('f.record', 's')})`;
  const rows = await database.query(sql(`SELECT f.field, f.rule, count(*)::INTEGER AS n, arg_min(f.value, ${line}) AS value,
      arg_min(coalesce(f.file, s.file), ${line}) AS file, min(${line})::INTEGER AS line
    FROM finding f ${joinLines('s', 'f."table"', 'f.record')} WHERE f."table" = ? AND f.scope = 'record' GROUP BY f.field, f.rule ORDER BY n DESC, f.field LIMIT ${reasonsShown}`, table));
  const problems = rows.texts('field').map((field, i) => {
    const rule = rows.texts('rule')[i] as RuleId, value = rows.texts('value')[i] ?? null, count = rows.numbers('n')[i] ?? 0;
    return problem(rule, `${rules[rule].title}${value === null ? '' : `: ‘${value}’`}${count === 1 ? '' : ` (and in ${count - 1} more records)`}`,
      { file: rows.texts('file')[i] ?? file, field: field === '' ? null : field, value, line: rows.numbers('line')[i] ?? null });
  });
  if (problems.length > 0) throw new Refusal(problems);
}
