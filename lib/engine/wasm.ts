import { AsyncDuckDB, DuckDBDataProtocol, VoidLogger } from '@duckdb/duckdb-wasm';
import { Float64, Int32, Table, tableToIPC, Utf8, vectorFromArray } from 'apache-arrow';
import { arrowResult } from './arrowResult';
import { openingStatements, QueryError, type LoadingDatabase, type NewColumn } from './database';

/** Where the site keeps the engine: addresses of our own origin. */
export interface WasmUrls {
  readonly wasm: string;
  readonly worker: string;
}

/** Opens an empty in-memory DuckDB in a worker of its own. Files are read piece by piece through the browser. */
export async function openWasmDatabase({ wasm, worker }: WasmUrls): Promise<LoadingDatabase> {
  const duckdb = new AsyncDuckDB(new VoidLogger(), new Worker(worker));
  await duckdb.instantiate(wasm);
  return wasmDatabase(duckdb, (name, content) => duckdb.registerFileHandle(name, content, DuckDBDataProtocol.BROWSER_FILEREADER, true));
}

/** A database over an instantiated DuckDB-Wasm. `registerBlob` makes a file readable under a name. */
export async function wasmDatabase(duckdb: AsyncDuckDB, registerBlob: (name: string, content: Blob) => Promise<void>): Promise<LoadingDatabase> {
  await duckdb.open({ path: ':memory:' });
  const connection = await duckdb.connect();
  let files = 0;
  let stop = (): void => undefined;
  // Requests to a worker that was ended are never answered: they fail by losing to this promise.
  const stopped = new Promise<never>((_, reject) => { stop = () => { reject(new Error('the database was closed')); }; });
  stopped.catch(() => undefined);

  const run = async <T>(sql: string, work: () => Promise<T>): Promise<T> => {
    try {
      return await Promise.race([work(), stopped]);
    } catch (cause) {
      throw new QueryError(sql, cause);
    }
  };
  const execute = (sql: string): Promise<unknown> => run(sql, () => connection.query(sql));
  const end = async (): Promise<void> => {
    stop();
    await duckdb.terminate();
  };

  for (const statement of openingStatements) await execute(statement);
  return {
    query: ({ sql, params }) => run(sql, async () => {
      if (params.length === 0) return arrowResult(await connection.query(sql));
      const statement = await connection.prepare(sql);
      try {
        return arrowResult(await statement.query(...params));
      } finally {
        await statement.close();
      }
    }),
    registerFile: async (name, content) => {
      const path = `${files++}-${name}`;
      await registerBlob(path, content);
      return path;
    },
    dropFile: async (path) => { await duckdb.dropFile(path); },
    // The whole stream with its end in one buffer: when the end comes apart, the engine reads the rows from memory it has let go of.
    createFrom: (table, columns) => run(`CREATE TABLE ${table}`, () =>
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
