import { quoteName, sql, type Database, type Query, type ResultSet } from './database';
import { isWholeNumber, wholeNumberSql } from './followupTable';
import { recentlyUsed, type RecentlyUsed } from './recentlyUsed';

/** Per row of `followup`, in the order of the table: one more than a whole number; 0: null. */
export type Positions = Uint8Array | Uint16Array | Int32Array;

/** An expression over `followup`: row i has `values[positions[i]]`; null is NaN. */
export interface Coded extends Read { readonly values: Float64Array }

export interface Read {
  readonly positions: Positions;
  /** Per position up to the highest: 1 where some row has it. */
  readonly occurs: Uint8Array;
}

/** SQL of a whole number of at least 0 or of a condition; `column`: the only column that it depends on, one of whole numbers or codes. */
export interface Expression extends Query { readonly column?: string }

/**
 * Columns of `followup` beside the database, for counting without it: about 1 byte a row for codes, 2 for days, hospitals and surgeons, 4 for
 * patients. An ordinary comparison of 5 million procedures keeps about 150 MB. What a value means is asked of the database all the same.
 */
export interface Columns extends RecentlyUsed {
  /** A column of whole numbers or codes. */
  column(name: string): Promise<Read>;
  /** Reads what is not known yet. An expression of one column is worked out over its distinct values only. */
  coded(expression: Expression): Promise<Coded>;
  /** A query `FROM` the distinct values of a column: a table with that column and `position`. */
  overValues(column: string, query: (table: string) => Query): Promise<ResultSet>;
}

const mostBytes = 320 * 1024 ** 2;
const stores = new WeakMap<Database, Columns>();

/** The columns of the extract in this database; they go with it. */
export function columnsOf(database: Database): Columns {
  const known = stores.get(database) ?? newColumns(database);
  stores.set(database, known);
  return known;
}

function newColumns(database: Database): Columns {
  const kept = recentlyUsed(mostBytes);
  const read = (expression: Query): Promise<Read> =>
    kept.get(`positions ${keyOf(expression)}`, async () => narrowed((await database.query(everyRow(expression))).positions('value')), ({ positions }) => positions.byteLength);
  const tableOf = (column: string): Promise<string> => kept.get(`table ${column}`, async () => {
    const name = quoteName(`values of ${column}`), { occurs } = await read(sql(wholeNumberSql(column)));
    await database.query(sql(`CREATE TEMP TABLE IF NOT EXISTS ${name} AS SELECT ${quoteName(column)}, 0 AS position FROM followup LIMIT 0`));
    const positions = Array.from(occurs.keys()).filter((position) => occurs[position] === 1);
    await database.query(sql(`INSERT INTO ${name} SELECT value, position FROM (${valuesAt(column, positions)}) WHERE NOT EXISTS (FROM ${name})`));
    return `temp.${name}`;
  }, () => 0);
  const overValues: Columns['overValues'] = async (column, query) => {
    const asked = query(await tableOf(column));
    return kept.get(`values ${keyOf(asked)}`, () => database.query(asked), (result) => 32 * result.rowCount);
  };
  return {
    ...kept,
    overValues,
    column: (name) => read(sql(wholeNumberSql(name))),
    async coded({ column, ...expression }) {
      if (column === undefined) {
        const { positions, occurs } = await read(expression);
        return { positions, occurs, values: Float64Array.from(occurs, (_, position) => (position === 0 ? NaN : position - 1)) };
      }
      const { positions, occurs } = await read(sql(wholeNumberSql(column)));
      const result = await overValues(column, (table) => ({ ...expression, sql: `SELECT position, (${expression.sql})::INTEGER AS value FROM ${table} ORDER BY position` }));
      const at = result.numbers('position'), value = result.numbers('value'), values = new Float64Array(occurs.length).fill(NaN);
      at.forEach((position, i) => { values[position] = value[i]!; });
      return { positions, occurs, values };
    },
  };
}

/** SQL: `value` and `position` of a column at positions. To look among all rows for the distinct values would take as long as to read the column. */
function valuesAt(column: string, positions: readonly number[]): string {
  const places = `(SELECT unnest([${positions.join(', ')}]) AS position)`, codes = `enum_range((SELECT ${quoteName(column)} FROM followup LIMIT 1))`;
  return isWholeNumber(column) ? `SELECT CASE WHEN position > 0 THEN position - 1 END AS value, position FROM ${places}`
    : `SELECT value, position FROM ${places} LEFT JOIN (SELECT unnest(codes) AS value, generate_subscripts(codes, 1) AS position FROM (SELECT ${codes} AS codes)) USING (position)`;
}

const keyOf = (query: Query): string => JSON.stringify([query.sql, query.params]);

/** The table is read in its order, which is that of the procedures' numbers; rows that were joined on the way may come in another one. */
const everyRow = ({ sql: expression, params }: Query): Query => {
  const value = `(${expression})::INTEGER AS value`;
  const read = /\bSELECT\b/i.test(expression) ? `SELECT value FROM (SELECT procedure, ${value} FROM followup) ORDER BY procedure` : `SELECT ${value} FROM followup`;
  return { sql: read, params };
};

function narrowed(positions: Int32Array): Read {
  let highest = 0;
  for (let row = 0; row < positions.length; ++row) if (positions[row]! > highest) highest = positions[row]!;
  const occurs = new Uint8Array(highest + 1);
  for (let row = 0; row < positions.length; ++row) occurs[positions[row]!] = 1;
  const narrow = highest < 2 ** 8 ? new Uint8Array(positions) : highest < 2 ** 16 ? new Uint16Array(positions) : positions;
  return { positions: narrow, occurs };
}
