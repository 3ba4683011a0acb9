import { AsyncDuckDB, VoidLogger } from '@duckdb/duckdb-wasm';
import { Float64, Int32, Table, tableToIPC, Utf8, vectorFromArray } from 'apache-arrow';
import { arrowResult } from './arrowResult';
import { openingStatements, QueryError, sql, type LoadingDatabase, type NewColumn, type Query } from './database';

/** Where the site keeps the engine: addresses of our own origin. */
export interface WasmUrls {
  readonly wasm: string;
  readonly worker: string;
}

/** Opens an empty in-memory DuckDB in a worker of its own. */
export async function openWasmDatabase({ wasm, worker }: WasmUrls): Promise<LoadingDatabase> {
  const thread = new Worker(worker);
  const broken = new Promise<never>((_, reject) => {
    thread.addEventListener('error', (event) => {
      reject(new Error(`the database engine failed (${event instanceof ErrorEvent ? event.message : 'its worker did not start'})`));
    });
  });
  const duckdb = new AsyncDuckDB(new VoidLogger(), thread);
  await Promise.race([duckdb.instantiate(wasm), broken]);
  return wasmDatabase(duckdb, broken);
}

/**
 * A database over an instantiated DuckDB-Wasm.
 * @param broken rejects when the engine's worker fails as a whole
 */
export async function wasmDatabase(duckdb: AsyncDuckDB, broken: Promise<never> = new Promise<never>(() => undefined)): Promise<LoadingDatabase> {
  await duckdb.open({ path: ':memory:' });
  const connection = await duckdb.connect();
  let files = 0;
  let stop = (): void => undefined;
  // Requests to a worker that has ended are never answered: they fail by losing to one of these two.
  const stopped = new Promise<never>((_, reject) => { stop = () => { reject(new Error('the database was closed')); }; });
  for (const end of [stopped, broken]) end.catch(() => undefined);

  const answer = <T>(work: Promise<T>): Promise<T> => Promise.race([work, stopped, broken]);
  const run = async <T>(query: Query, work: () => Promise<T>): Promise<T> => {
    try {
      return await answer(work());
    } catch (cause) {
      throw new QueryError(query, cause);
    }
  };
  const execute = (text: string): Promise<unknown> => run(sql(text), () => connection.query(text));
  const end = async (): Promise<void> => {
    stop();
    await duckdb.terminate();
  };

  for (const statement of openingStatements) await execute(statement);
  return {
    query: (query) => run(query, async () => {
      if (query.params.length === 0) return arrowResult(await connection.query(query.sql));
      const statement = await connection.prepare(query.sql);
      try {
        return arrowResult(await statement.query(...query.params));
      } finally {
        await statement.close();
      }
    }),
    registerBytes: async (name, bytes) => {
      const path = `${files++}-${name}`;
      await answer(duckdb.registerFileBuffer(path, bytes));
      return path;
    },
    dropFile: async (path) => { await answer(duckdb.dropFile(path)); },
    // The whole stream with its end in one buffer: when the end comes apart, the engine reads the rows from memory it has let go of.
    createFrom: (table, columns) => run(sql(`CREATE TABLE ${table}`), () =>
      connection.insertArrowFromIPCStream(tableToIPC(arrowTable(columns), 'stream'), { name: table, create: true })),
    seal: async () => {
      await execute('SET enable_external_access = false');
      await execute('SET lock_configuration = true');
    },
    interrupt: () => { void end(); },
    close: end,
  };
}

const arrowTypes = { VARCHAR: Utf8, INTEGER: Int32, DOUBLE: Float64 };

function arrowTable(columns: readonly NewColumn[]): Table {
  return new Table(Object.fromEntries(columns.map(({ name, type, values }) => [name, vectorFromArray(values, new arrowTypes[type]())])));
}
