import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { Worker as NodeWorker } from 'node:worker_threads';
import { AsyncDuckDB, VoidLogger } from '@duckdb/duckdb-wasm';
import type { LoadingDatabase } from '../../lib/engine/database';
import { wasmDatabase } from '../../lib/engine/wasm';

const dist = dirname(createRequire(import.meta.url).resolve('@duckdb/duckdb-wasm/dist/duckdb-eh.wasm'));

/** The same DuckDB-Wasm as in the browser, its worker run by Node. */
export async function openWasmInNode(): Promise<LoadingDatabase> {
  const worker = new NodeWorker(`
    const { parentPort } = require('node:worker_threads');
    globalThis.postMessage = (message, transfer) => parentPort.postMessage(message, transfer);
    parentPort.on('message', (data) => globalThis.onmessage({ data }));
    require(${JSON.stringify(join(dist, 'duckdb-node-eh.worker.cjs'))});`, { eval: true, stdout: true, stderr: true });
  const duckdb = new AsyncDuckDB(new VoidLogger(), asWebWorker(worker));
  await duckdb.instantiate(join(dist, 'duckdb-eh.wasm'));
  return wasmDatabase(duckdb);
}

/** What AsyncDuckDB uses of the browser's `Worker`. */
function asWebWorker(worker: NodeWorker): Worker {
  const target = new EventTarget();
  worker.on('message', (data: unknown) => target.dispatchEvent(new MessageEvent('message', { data })));
  worker.on('error', (error) => target.dispatchEvent(new MessageEvent('error', { data: error })));
  worker.on('exit', () => target.dispatchEvent(new Event('close')));
  return Object.assign(target, {
    postMessage: (message: unknown, transfer: ArrayBuffer[]) => { worker.postMessage(message, transfer); },
    terminate: () => { void worker.terminate(); },
  }) as unknown as Worker;
}
