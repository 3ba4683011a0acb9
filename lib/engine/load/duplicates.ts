import { fieldsOf } from '../../contract/fields';
import { tables, type TableName } from '../../contract/tables';
import { quoteName, sql, type LoadingDatabase } from '../database';
import { belongsToProcedure, countOf, setAsideRecords, staging } from './loading';
import { blocksOf } from './rowBlocks';

/** Records whose key stands earlier in the file: the first accepted record is kept. A record that is the same in every field is told apart. */
export async function setAsideDuplicates(database: LoadingDatabase, table: TableName, key: readonly string[]): Promise<void> {
  const keys = key.map(quoteName).join(', ');
  if (table === 'revisions') await setAsideTwinsWithoutKey(database, table);
  if (await keysRise(database, table, key)) return;
  const mayRepeat = (rows: string): string => (belongsToProcedure(table) ? codeRepeated(rows, key[1]!) : repeated(rows, key));
  const repeatedIn = (rows: string): string => `SELECT ${keys}, min(record) AS first FROM ${rows} WHERE ${mayRepeat(rows)} GROUP BY ${keys} HAVING count(*) > 1`;
  await database.query(sql(`CREATE OR REPLACE TEMP TABLE duplicate AS ${repeatedIn(`(FROM ${staging(table)} LIMIT 0)`)}`));
  for (const rows of await partsWithWholeKeys(database, table)) await database.query(sql(`INSERT INTO duplicate ${repeatedIn(rows)}`));
  if (await countOf(database, 'duplicate') === 0) return;
  const rest = fieldsOf(table).map(({ name }) => name).filter((name) => !tables[table].primaryKey.some((part) => part === name)).map(quoteName);
  const same = rest.map((name) => `t.${name} IS NOT DISTINCT FROM f.${name}`).join(' AND ');
  const join = `JOIN duplicate d USING (${keys}) JOIN ${staging(table)} f ON f.record = d.first`, where = 't.record > d.first';
  const field = tables[table].primaryKey[0], other = 'd.first';
  await setAsideRecords(database, { table, rule: 'duplicate_record', field, other, join, where: `${where} AND ${same === '' ? 'true' : same}` });
  await setAsideRecords(database, { table, rule: 'duplicate_key', field, other, join, where });
}

/** In many files keys rise from row to row, and so are all different, which is seen in one pass. */
async function keysRise(database: LoadingDatabase, table: TableName, key: readonly string[]): Promise<boolean> {
  const parts = key.map((name) => ({ now: quoteName(name), before: quoteName(`before_${name}`) }));
  const rises = parts.reduceRight((rest, { now, before }) => `(${now} > ${before} OR (${now} = ${before} AND ${rest}))`, 'false');
  const found = await database.query(sql(`SELECT (count(*) - count(*) FILTER (${rises}))::INTEGER AS other
    FROM (SELECT ${parts.map(({ now, before }) => `${now}, lag(${now}) OVER () AS ${before}`).join(', ')} FROM ${staging(table)})`));
  return (found.numbers('other')[0] ?? 0) <= 1; // the first has none before it
}

/** Parts of a staged table, of which each holds all records that can have the same key: what belongs to procedures goes by their numbers. */
async function partsWithWholeKeys(database: LoadingDatabase, table: TableName): Promise<readonly string[]> {
  if (!belongsToProcedure(table)) return [staging(table)];
  const [procedures = 0] = (await database.query(sql(`SELECT coalesce(max(procedure) + 1, 0)::INTEGER AS procedures FROM ${staging(table)}`))).numbers('procedures');
  return blocksOf('procedure', procedures).map(({ where }) => `(FROM ${staging(table)} WHERE ${where})`);
}

/**
 * SQL: the columns hold something, or what `where` says, and perhaps the same in another row. Most rows are ruled out by a number each, which is far
 * quicker to group by.
 */
export function repeated(from: string, columns: readonly string[], where = columns.map((name) => `${quoteName(name)} IS NOT NULL`).join(' AND ')): string {
  const number = `hash(${columns.map(quoteName).join(', ')})`;
  return `${where} AND ${number} IN (SELECT ${number} FROM ${from} WHERE ${where} GROUP BY 1 HAVING count(*) > 1)`;
}

/** SQL: the procedure has a code several times. Its records are more than their codes then, which is quicker to see than to group by both. */
const codeRepeated = (from: string, code: string): string =>
  `procedure IN (SELECT procedure FROM ${from} GROUP BY procedure HAVING count(${code}) > bit_count(bit_or(1 << enum_code(${code})::INTEGER)))`;

/** Records without a key that are the same in every field. */
async function setAsideTwinsWithoutKey(database: LoadingDatabase, table: TableName): Promise<void> {
  const key = tables[table].primaryKey[0], fields = fieldsOf(table).map(({ name }) => name);
  await setAsideRecords(database, {
    table, rule: 'duplicate_record', field: key, other: 'd.first',
    join: `JOIN (SELECT record, min(record) OVER (PARTITION BY ${fields.map(quoteName).join(', ')}) AS first FROM ${staging(table)}
      WHERE ${repeated(staging(table), fields, `${quoteName(key)} IS NULL`)}) d USING (record)`, where: 'd.first < t.record',
  });
}
