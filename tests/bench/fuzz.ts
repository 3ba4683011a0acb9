import { execFileSync } from 'node:child_process';
import { appendFileSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { mutationNames } from './fuzz/cases';
import type { Task } from './fuzz/child';
import { runAll, type Ended } from './fuzz/pool';
import { fuzzTable, type Kept } from './fuzz/table';

/**
 * What loading makes of files that are wrong in every way: npm run bench:fuzz -- [first case] [end] [processes]. Each answer is kept at once in
 * tests/.output, so that a run goes on where it was ended and ranges add up; the table is of all that are kept. To begin anew, delete the file.
 */
const first = Number(process.argv[2] ?? 0), end = Number(process.argv[3] ?? 20_000), processes = Number(process.argv[4] ?? availableParallelism());
const seed = 1, wasmEvery = 199; // of the cases, one in so many goes through the build for browsers, which takes much longer to open
const output = fileURLToPath(new URL('../.output/', import.meta.url)), answers = `${output}fuzz-${seed}.jsonl`;
const commit = execFileSync('git', ['describe', '--always', '--dirty', '--exclude=*'], { encoding: 'utf8' }).trim();

mkdirSync(output, { recursive: true });
const kept: Kept[] = existsSync(answers) ? readFileSync(answers, 'utf8').split('\n').filter((line) => line !== '').map((line) => JSON.parse(line) as Kept) : [];
const done = new Set(kept.map(({ index }) => index));
const tasks: Task[] = Array.from({ length: end - first }, (_, i) => first + i).filter((index) => !done.has(index))
  .map((index) => ({ seed, index, engine: index % wasmEvery === 0 ? 'wasm' : 'native' }));
const started = performance.now();
let ended = 0;
await runAll(tasks, processes, (one: Ended) => {
  const answer: Kept = { index: one.index, engine: one.engine, outcome: one.outcome, failures: one.failures, counted: 'counted' in one ? one.counted : 0, wrong: 'wrong' in one ? one.wrong : 1, commit };
  kept.push(answer);
  appendFileSync(answers, `${JSON.stringify(answer)}\n`);
  if (one.failures.length > 0) process.stderr.write(`${one.index} (${one.engine}), ${mutationNames[one.index % mutationNames.length] ?? ''}: ${one.failures.join('; ')}\n`);
  if (++ended % 250 === 0) process.stderr.write(`${ended} of ${tasks.length}, ${Math.round((performance.now() - started) / 1000)} s\n`);
});
const table = fuzzTable(seed, kept);
writeFileSync(new URL('fuzz.md', import.meta.url), table);
process.stdout.write(table);
