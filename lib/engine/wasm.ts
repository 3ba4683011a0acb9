import { AsyncDuckDB, VoidLogger } from '@duckdb/duckdb-wasm';
import { tableToIPC } from 'apache-arrow';
import { v4 } from 'uuid';
import { arrowResult } from './arrowResult';
import { arrowTable } from './arrowTable';
import { openingStatements, passing, QueryError, sql, type LoadingDatabase, type Query } from './database';
import { whenEnded } from './life';

/** The engine: the address of its worker, of our own origin, and its compiled code, which all databases share. */
export interface WasmEngine {
  readonly worker: string;
  readonly code: () => Promise<WebAssembly.Module>;
}

/** What becomes of an engine whose worker may end at any time. */
interface Life {
  /** Rejects when the engine is of no use any more. */
  readonly lost: Promise<never>;
  readonly lose: (reason: string) => void;
}

function newLife(): Life {
  let reject: (error: Error) => void = () => undefined;
  const lost = new Promise<never>((_, no) => { reject = no; });
  lost.catch(() => undefined);
  return { lost, lose: (reason) => { reject(new Error(`the database engine has failed (${reason}); most often the memory was not enough`)); } };
}

/**
 * Opens an empty in-memory DuckDB in a worker of its own.
 * @param onLost hears why, when the engine fails as a whole before it is closed
 */
export async function openWasmDatabase({ worker, code }: WasmEngine, onLost: (reason: string) => void = () => undefined): Promise<LoadingDatabase> {
  const lock = `engine-${v4()}`, thread = new Worker(worker, { name: lock }), life = newLife(), closed = new AbortController();
  thread.addEventListener('error', (event) => { life.lose(event instanceof ErrorEvent && event.message !== '' ? event.message : 'its worker did not start'); });
  const duckdb = new AsyncDuckDB(new VoidLogger(), thread);
  try {
    thread.postMessage(await code());
    await Promise.race([duckdb.instantiate('compiled'), life.lost]);
    whenEnded(lock, closed.signal, () => { life.lose('its worker has ended'); });
    const database = await wasmDatabase(duckdb, life);
    life.lost.catch((error: unknown) => { if (!closed.signal.aborted) onLost(error instanceof Error ? error.message : String(error)); });
    const ending = <T>(end: () => T) => (): T => {
      closed.abort();
      return end();
    };
    return { ...database, close: ending(() => database.close()), interrupt: ending(() => { database.interrupt(); }) };
  } catch (error) {
    thread.terminate();
    throw error;
  }
}

/** A database over an instantiated DuckDB-Wasm. */
export async function wasmDatabase(duckdb: AsyncDuckDB, { lost, lose }: Life = newLife()): Promise<LoadingDatabase> {
  await duckdb.open({ path: ':memory:' });
  const connection = await duckdb.connect();
  let files = 0;
  let stop = (): void => undefined;
  // Requests to a worker that has ended are never answered: they fail by losing to one of these two.
  const stopped = new Promise<never>((_, reject) => { stop = () => { reject(new Error('the database was closed')); }; });

  let over = false;
  for (const end of [stopped, lost]) end.catch(() => { over = true; });
  const answer = <T>(work: () => Promise<T>): Promise<T> => Promise.race([...(over ? [] : [work()]), stopped, lost]);
  const run = async <T>(query: Query, work: () => Promise<T>): Promise<T> => {
    try {
      return await answer(work);
    } catch (cause) {
      if (isTrap(cause)) lose(cause.message);
      throw new QueryError(query, cause);
    }
  };
  const execute = (text: string): Promise<unknown> => run(sql(text), () => connection.query(text));
  const end = async (): Promise<void> => {
    over = true;
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
      await answer(() => duckdb.registerFileBuffer(path, bytes));
      return path;
    },
    dropFile: async (path) => { await answer(() => duckdb.dropFile(path)); },
    // The whole stream with its end in one buffer: when the end comes apart, the engine reads the rows from memory it has let go of.
    createFrom: (table, columns) => run(sql(`CREATE TABLE ${passing(table)}`), () =>
      connection.insertArrowFromIPCStream(tableToIPC(arrowTable(columns), 'stream'), { schema: 'memory', name: table, create: true })),
    append: (table, names, columns) => run(sql(`INSERT INTO ${table}`), () => {
      const [schema, name] = [table.slice(0, table.indexOf('.')), table.slice(table.lastIndexOf('.') + 1)];
      return connection.insertArrowFromIPCStream(tableToIPC(arrowTable(columns, names), 'stream'), { schema, name, create: false });
    }),
    seal: async () => {
      await execute('SET enable_external_access = false');
      await execute('SET lock_configuration = true');
    },
    interrupt: () => { void end(); },
    close: end,
  };
}

/** WebAssembly stopped in the middle of its work: what is in its memory can't be trusted any more. */
const isTrap = (cause: unknown): cause is Error =>
  cause instanceof Error && /memory access out of bounds|unreachable|index out of bounds|null function|stack size exceeded|RuntimeError: /i.test(`${cause.name}: ${cause.message}`);
