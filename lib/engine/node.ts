import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import duckdb from '@duckdb/node-bindings';
import { DuckDBInstance, DuckDBTypeId, type DuckDBMaterializedResult, type DuckDBValue } from '@duckdb/node-api';
import { openingStatements, passing, quoteName, QueryError, type LoadingDatabase, type Query, type ResultSet } from './database';
import type { NewColumn } from './newColumn';
import { append, chunksOf } from './nodeAppend';

/** Opens an empty in-memory DuckDB in this process. It installs and loads no extension. */
export async function openNodeDatabase(): Promise<LoadingDatabase> {
  // Without a configuration: the binding does not hold on to one while it opens, and once it is collected the engine reads memory that is no longer its own.
  const instance = new DuckDBInstance(await duckdb.open(':memory:'));
  const connection = await instance.connect();
  const folder = await mkdtemp(join(tmpdir(), 'extract-'));
  let files = 0;
  let last: Promise<unknown> = Promise.resolve(), ended = false as boolean;

  /** One after the other: what is asked of a connection that is at work may fail. */
  const inTurn = <T>(work: () => Promise<T>): Promise<T> => {
    const result = last.then(work);
    last = result.catch(() => undefined);
    return result;
  };
  const ask = async (query: Query): Promise<DuckDBMaterializedResult> => {
    try {
      if (ended) throw new Error('the database was closed');
      return await connection.run(query.sql, [...query.params]);
    } catch (cause) {
      throw new QueryError(query, cause);
    }
  };
  const run = (query: Query): Promise<DuckDBMaterializedResult> => inTurn(() => ask(query));
  const end = (): void => {
    ended = true;
    connection.interrupt();
    const again = setInterval(() => { connection.interrupt(); }, 20); // the engine forgets an interruption that comes before the query has begun
    void last.then(() => { clearInterval(again); });
  };
  const create = async (table: string, columns: readonly NewColumn[], chunks: ReturnType<typeof chunksOf>): Promise<void> => {
    const definition = columns.map((c) => `${quoteName(c.name)} ${c.type}`).join(', ');
    await ask({ sql: `CREATE TABLE ${passing(table)} (${definition})`, params: [] });
    await append(connection, table, chunks);
  };

  for (const statement of ['SET allow_community_extensions = false', ...openingStatements]) await run({ sql: statement, params: [] });
  return {
    query: async (query) => resultSet(await run(query)),
    registerBytes: async (name, bytes) => {
      const path = join(folder, `${files++}-${basename(name)}`);
      await writeFile(path, bytes);
      return path;
    },
    dropFile: (path) => rm(path, { force: true }),
    createFrom: async (table, columns) => {
      const chunks = chunksOf(columns);
      await inTurn(() => create(table, columns, chunks));
    },
    append: async (table, _, columns) => {
      const chunks = chunksOf(columns);
      await inTurn(async () => {
        await create('appended', columns, chunks);
        await ask({ sql: `INSERT INTO ${table} (${columns.map(({ name }) => quoteName(name)).join(', ')}) FROM ${passing('appended')}`, params: [] })
          .finally(() => ask({ sql: `DROP TABLE ${passing('appended')}`, params: [] }));
      });
    },
    seal: async () => {
      await rm(folder, { recursive: true, force: true });
      await run({ sql: 'SET enable_external_access = false', params: [] });
      await run({ sql: 'SET lock_configuration = true', params: [] });
    },
    interrupt: end,
    close: async () => {
      end();
      await last; // closing under a running query is not safe
      connection.closeSync();
      instance.closeSync();
      await rm(folder, { recursive: true, force: true });
    },
  };
}

const narrow: ReadonlySet<DuckDBTypeId> = new Set([
  DuckDBTypeId.BOOLEAN, DuckDBTypeId.TINYINT, DuckDBTypeId.SMALLINT, DuckDBTypeId.INTEGER, DuckDBTypeId.UTINYINT,
  DuckDBTypeId.USMALLINT, DuckDBTypeId.UINTEGER, DuckDBTypeId.FLOAT, DuckDBTypeId.DOUBLE,
]);

const texted: ReadonlySet<DuckDBTypeId> = new Set([
  DuckDBTypeId.VARCHAR, DuckDBTypeId.ENUM, DuckDBTypeId.DATE, DuckDBTypeId.BIGINT, DuckDBTypeId.UBIGINT,
]);

async function resultSet(result: DuckDBMaterializedResult): Promise<ResultSet> {
  const names = result.columnNames();
  const chunks = await result.fetchAllChunks();
  const rowCount = chunks.reduce((n, chunk) => n + chunk.rowCount, 0);
  const indexOf = (name: string): number => {
    const index = names.indexOf(name);
    if (index < 0) throw new Error(`the result has no column ${name}; it has ${names.join(', ')}`);
    return index;
  };
  const each = (index: number, visit: (value: DuckDBValue, row: number) => void): void => {
    let row = 0;
    for (const chunk of chunks) {
      const vector = chunk.getColumnVector(index);
      for (let i = 0; i < chunk.rowCount; i++) visit(vector.getItem(i), row++);
    }
  };
  return {
    rowCount,
    numbers: (name) => {
      const index = indexOf(name);
      if (!narrow.has(result.columnTypeId(index))) {
        throw new Error(`column ${name} is ${result.columnType(index).toString()}: cast it to INTEGER or DOUBLE`);
      }
      const numbers = new Float64Array(rowCount);
      each(index, (value, row) => { numbers[row] = value === null ? NaN : Number(value); });
      return numbers;
    },
    positions: (name) => {
      const index = indexOf(name), positions = new Int32Array(rowCount);
      if (result.columnTypeId(index) !== DuckDBTypeId.INTEGER) throw new Error(`column ${name} is ${result.columnType(index).toString()}: cast it to INTEGER`);
      each(index, (value, row) => { positions[row] = value === null ? 0 : Number(value) + 1; });
      return positions;
    },
    texts: (name) => {
      const index = indexOf(name);
      if (!narrow.has(result.columnTypeId(index)) && !texted.has(result.columnTypeId(index))) {
        throw new Error(`column ${name} is ${result.columnType(index).toString()}: cast it to VARCHAR`);
      }
      const texts: (string | null)[] = [];
      each(index, (value) => { texts.push(value === null ? null : String(value)); });
      return texts;
    },
  };
}
