export type Parameter = string | number | boolean | null;

/** SQL text with one `?` for each parameter, in order. */
export interface Query {
  readonly sql: string;
  readonly params: readonly Parameter[];
}

/** The rows of a result by column. Asking for a column that the result does not have throws. */
export interface ResultSet {
  readonly rowCount: number;
  /** A numeric column; null becomes NaN. */
  numbers(name: string): Float64Array;
  /** Any column as text; null stays null. Dates are ISO 8601. */
  texts(name: string): readonly (string | null)[];
}

/** DuckDB, the same in the browser and in Node. A failed query throws a `QueryError` that holds the SQL text, never its parameters. */
export interface Database {
  query(query: Query): Promise<ResultSet>;
  close(): Promise<void>;
}
