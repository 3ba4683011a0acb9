import type { NewColumn } from './newColumn';

export { quoteName, quoteText } from '../intake/sql/quoting';

export type Parameter = string | number | boolean | null;

/** SQL text with one `?` for each parameter, in order. */
export interface Query {
  readonly sql: string;
  readonly params: readonly Parameter[];
}

/** The rows of a result by column. Asking for a column that the result does not have throws. */
export interface ResultSet {
  readonly rowCount: number;
  /** A numeric column of at most 32-bit integers, FLOAT or DOUBLE; null becomes NaN. Wider types throw: cast them in SQL. */
  numbers(name: string): Float64Array;
  /** An INTEGER column, each value one more and null 0, which SQL takes nearly as long to make as to read: for columns with a value per row of a table. */
  positions(name: string): Int32Array;
  /** Any column as text; null stays null. Dates are ISO 8601. */
  texts(name: string): readonly (string | null)[];
}

/** DuckDB, the same in the browser and in Node. A failed query throws a `QueryError` that holds the SQL text, never its parameters. */
export interface Database {
  query(query: Query): Promise<ResultSet>;
  close(): Promise<void>;
}

/** A database that can still take in data. Once sealed it reads nothing from outside and its settings are locked; SQL goes on. */
export interface LoadingDatabase extends Database {
  /** Makes bytes readable by SQL as a file; they are of no use to others afterwards. Returns the path to give to `read_csv`. */
  registerBytes(name: string, bytes: Uint8Array<ArrayBuffer>): Promise<string>;
  dropFile(path: string): Promise<void>;
  /** Creates a table that is passing, `passing(table)`, from the columns, which may change once it has been called. */
  createFrom(table: string, columns: readonly NewColumn[]): Promise<void>;
  /**
   * Adds the columns to a table, turned into its types, which are text for enums. They may change once it has been called.
   * @param table `database.schema.name`
   * @param names of all its columns in their order; those that are not given are null
   */
  append(table: string, names: readonly string[], columns: readonly NewColumn[]): Promise<void>;
  seal(): Promise<void>;
  /** Makes a running query fail. The database may be of no use afterwards: close it. */
  interrupt(): void;
}

export type OpenDatabase = () => Promise<LoadingDatabase>;

/** A query that failed: its SQL text and the engine's reason. Parameters are taken out of both, they may identify a patient. */
export class QueryError extends Error {
  override readonly name = 'QueryError';
  readonly sql: string;

  constructor({ sql, params }: Query, cause: unknown) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    const shown = params.filter((param) => typeof param === 'string' && param !== '').reduce<string>((text, param) => text.replaceAll(String(param), '?'), reason);
    super(shown, params.length === 0 ? { cause } : {});
    this.sql = sql;
  }
}

export const sql = (text: string, ...params: readonly Parameter[]): Query => ({ sql: text, params });

/** A table in the database that is not compressed. */
export const passing = (table: string): string => `memory.main.${table}`;

/**
 * What both engines run when they open. No extension is installed or loaded by itself. Tables go into an attached database that is
 * compressed in memory (a million procedures: 78 MB instead of 730 MB, queries as fast); `memory`, not compressed, is for what is passing.
 * By itself the engine would compress after every few inserts, and join their rows with those before, over and over: it is told when.
 */
export const openingStatements = [
  'SET autoload_known_extensions = false', 'SET autoinstall_known_extensions = false', "SET checkpoint_threshold = '1TB'",
  "ATTACH ':memory:' AS extract (COMPRESS)", 'USE extract',
] as const;

/** Compresses what has come into `extract` since it was last told. */
export async function compress(database: Database): Promise<void> {
  await database.query(sql('CHECKPOINT extract'));
}
