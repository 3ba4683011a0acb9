import { parquetMetadataAsync } from 'hyparquet';
import type { TableName } from '../../contract/tables';
import { problem, Refusal } from '../../intake/refusal';

/** Bytes that the engine needs at its fullest, for each record of a table and as it is; measured in Chromium (tests/bench/loading.md). */
const perRecord: Partial<Record<TableName, number>> = { procedures: 150, components: 45, revisions: 250, deaths: 60, followups: 90 };
const atLeast = 150e6;
const peekedBytes = 64 * 1024;

/** What the engine may use, in bytes. */
export interface MemoryLimits {
  /** More than this it can't use, whatever the machine has. */
  readonly engine: number;
  /** What the machine probably has to spare; null: not known. */
  readonly machine: number | null;
}

/** The memory that an extract will probably need, in bytes. */
export const memoryNeeded = (records: ReadonlyMap<TableName, number>): number =>
  [...records].reduce((bytes, [table, n]) => bytes + (perRecord[table] ?? 0) * n, atLeast);

/** About how many records a file holds, told before it is read. */
export async function recordsIn(content: Blob, format: 'csv' | 'parquet'): Promise<number> {
  if (format === 'parquet') {
    const { num_rows } = await parquetMetadataAsync({ byteLength: content.size, slice: (from, to) => content.slice(from, to).arrayBuffer() });
    return Number(num_rows);
  }
  const start = new Uint8Array(await content.slice(0, peekedBytes).arrayBuffer());
  const lines = start.reduce((n, byte) => n + (byte === 10 ? 1 : 0), 0);
  return content.size * lines / Math.max(start.length, 1);
}

export const whatHelps = 'What helps: leave out tables and columns that are not needed (follow-up visits, lots and device identifiers first), load fewer years, close other tabs and programs, or use the command line, which has no such limit';

const gigabytes = (bytes: number): string => `${(bytes / 1e9).toFixed(1)} GB`;

/** Throws a Refusal with what to do, where the memory will probably not be enough. */
export function holdAgainst(needed: number, { engine, machine }: MemoryLimits): void {
  const most = machine === null ? engine : Math.min(engine, machine);
  if (needed <= most) return;
  const limit = most === engine ? `a browser gives the database no more than ${gigabytes(engine)}` : `this machine has probably no more than ${gigabytes(most)} to spare`;
  throw new Refusal([problem('memory_forecast', `the extract will probably need about ${gigabytes(needed)} of memory; ${limit}. ${whatHelps}`)]);
}
