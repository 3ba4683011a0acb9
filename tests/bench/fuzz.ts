import { writeFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { mutationNames } from './fuzz/cases';
import type { Task } from './fuzz/child';
import { runAll, type Ended } from './fuzz/pool';

// What loading makes of files that are wrong in every way: npm run bench:fuzz -- [cases] [seed] [first case]
const cases = Number(process.argv[2] ?? 20_000), seed = Number(process.argv[3] ?? 1), first = Number(process.argv[4] ?? 0);
const wasmEvery = 37; // of the cases, one in so many goes through the build for browsers, which takes longer to open

const tasks: Task[] = Array.from({ length: cases }, (_, i) => ({ seed, index: first + i, engine: (first + i) % wasmEvery === 0 ? 'wasm' : 'native' }));
const ended: Ended[] = [];
const started = performance.now();
await runAll(tasks, availableParallelism(), (one) => {
  ended.push(one);
  if (one.failures.length > 0) process.stderr.write(`${one.index} (${one.engine}), ${mutationNames[one.index % mutationNames.length] ?? ''}: ${one.failures.join('; ')}\n`);
  if (ended.length % 500 === 0) process.stderr.write(`${ended.length} of ${cases}, ${Math.round((performance.now() - started) / 1000)} s\n`);
});

const outcomes = ['loaded', 'refused', 'failed', 'hung', 'crashed'] as const;
const row = (name: string, of: readonly Ended[]): string =>
  `| ${name} | ${of.length} | ${outcomes.map((outcome) => of.filter((one) => one.outcome === outcome).length).join(' | ')} | ${of.filter(({ failures }) => failures.length > 0).length} |`;
const counted = ended.reduce((sum, one) => sum + ('counted' in one ? one.counted : 0), 0);
const table = `# What loading makes of files that are wrong

${cases} sets of files, numbers ${first} to ${first + cases - 1} of seed ${seed} (\`npm run bench:fuzz\`); ${ended.filter(({ engine }) => engine === 'wasm').length} of them through the build for browsers,
the others through the native one. Each starts from a whole extract of 40 procedures of the sample registry and is made wrong in one way, several times over.
Held against each: no exception, no process lost, an answer within two minutes, no database left open; either loaded, or refused with a problem that names its rule; every record
read is kept or set aside and listed with a line of its own; no key of a patient, procedure or re-operation in what is said (but for the mutations that put keys under the names of
other columns); the extract that was loaded before answers as it did. Where another reader of CSV takes a file for well formed, the numbers of records are the same: ${counted} files.

| made wrong by | cases | ${outcomes.join(' | ')} | against what must hold |
| --- | --- | --- | --- | --- | --- | --- | --- |
${mutationNames.map((name, i) => row(name, ended.filter(({ index }) => index % mutationNames.length === i))).join('\n')}
${row('all', ended)}
`;
writeFileSync(new URL('fuzz.md', import.meta.url), table);
process.stdout.write(table);
