import { sql, type OpenDatabase } from '../../../lib/engine/database';
import { loadExtract } from '../../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../../lib/engine/node';
import { openWasmInNode } from '../../engine/wasmInNode';
import { fuzzCase } from './cases';
import { fileOf } from './containerMutations';
import { bytesOf, csvOf, seedExtract } from './seedExtract';
import { tryCase, type Tried } from './tryCase';

/** What a child is asked to try, and what it answers. */
export interface Task { readonly seed: number; readonly index: number; readonly engine: 'native' | 'wasm' }
export type Answer = Task & Tried & { readonly wrong: number };

const before = await loadExtract(openNodeDatabase, [...seedExtract(9)].map(([table, grid]) => fileOf(`${table}.csv`, bytesOf(csvOf(grid)))));
if (before.status === 'refused') throw new Error(before.problems[0]?.message);
const { database } = before.extract;
/** An answer of the extract that was loaded before everything else. */
const standing = async (): Promise<string> => {
  const rows = await database.query(sql('SELECT count(*)::INTEGER AS n, sum(exit_day)::DOUBLE AS days, sum(hash(hospital, model_code))::VARCHAR AS h FROM followup JOIN components USING (procedure)'));
  return [rows.numbers('n')[0], rows.numbers('days')[0], rows.texts('h')[0]].join();
};
const expected = await standing();

/** Small files are loaded faster so. */
const openOnOneThread: OpenDatabase = async () => {
  const opened = await openNodeDatabase();
  await opened.query(sql('SET threads = 1'));
  return opened;
};

process.on('message', (task: Task) => {
  void (async () => {
    const found = await fuzzCase(task.seed, task.index);
    const tried = await tryCase(found, task.engine === 'wasm' ? openWasmInNode : openOnOneThread);
    const failures = await standing() === expected ? tried.failures : [...tried.failures, 'the extract loaded before answers otherwise'];
    process.send?.({ ...task, ...tried, failures, wrong: found.wrong } satisfies Answer);
  })();
});
process.send?.('ready');
