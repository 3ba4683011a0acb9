import { csvLine } from '../contract/csvText';
import { rules, type RuleId } from '../contract/rules';
import { sql, type Database } from './database';

const rowsAtOnce = 20_000;

/**
 * Every record and value set aside, as CSV text in pieces: table, file, line, field, rule in words, what was set aside, and the value that failed.
 * Identifiers are left out: the line leads to them in the user's own file.
 */
export async function* setAsideCsv(database: Database): AsyncGenerator<string> {
  yield csvLine(['table', 'file', 'line', 'field', 'rule', 'finding', 'set_aside', 'value']);
  for (let from = 0; ; from += rowsAtOnce) {
    const rows = await database.query(sql(`SELECT "table", file, line, field, rule, scope, value FROM set_aside
      WHERE rowid >= ? AND rowid < ? ORDER BY rowid`, from, from + rowsAtOnce));
    const [tables, files, lines, fields, ids, scopes, values] = ['table', 'file', 'line', 'field', 'rule', 'scope', 'value'].map((name) => rows.texts(name)) as
      [(string | null)[], (string | null)[], (string | null)[], (string | null)[], RuleId[], (string | null)[], (string | null)[]];
    yield ids.map((id, i) => csvLine([tables[i] ?? null, files[i] ?? null, lines[i] ?? null, fields[i] ?? null, id, rules[id].title, scopes[i] ?? null, values[i] ?? null])).join('');
    if (rows.rowCount < rowsAtOnce) return;
  }
}
