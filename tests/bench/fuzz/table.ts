import { mutationNames } from './cases';
import type { Task } from './child';
import type { Ended } from './pool';

/** What is kept of a case that has ended. `commit`: of the code that was tried. */
export interface Kept extends Pick<Task, 'index' | 'engine'> {
  readonly outcome: Ended['outcome'];
  readonly failures: readonly string[];
  readonly counted: number;
  readonly wrong: number; // files
  readonly commit: string;
}

const outcomes = ['loaded', 'refused', 'failed', 'hung', 'crashed'] as const;
const row = (name: string, of: readonly Kept[]): string =>
  `| ${name} | ${of.length} | ${outcomes.map((outcome) => of.filter((one) => one.outcome === outcome).length).join(' | ')} | ${of.filter(({ failures }) => failures.length > 0).length} |`;

/** The table of all cases that were tried. */
export function fuzzTable(seed: number, kept: readonly Kept[]): string {
  const count = (n: number): string => n.toLocaleString('en'), commits = [...new Set(kept.map(({ commit }) => commit))];
  return `# What loading makes of files that are wrong

${count(kept.length)} sets of files of seed ${seed}, in which ${count(kept.reduce((sum, { wrong }) => sum + wrong, 0))} files are wrong (\`npm run bench:fuzz\`); ${count(kept.filter(({ engine }) => engine === 'wasm').length)} of them through the build for browsers, the others through the native one.
Each starts from a whole extract of 40 procedures of the sample registry and is made wrong in one way, several times over and in one file or several.
Held against each: no exception, no process lost, an answer within ten minutes, no database left open; either loaded, or refused with a problem that names its rule; every record
read is kept or set aside and listed with a line of its own; no key of a patient, procedure or re-operation in what is said (but for the mutations that put keys under the names of
other columns); the extract that was loaded before answers as it did. Where another reader of CSV takes a file for well formed, the numbers of records are the same: ${count(kept.reduce((sum, { counted }) => sum + counted, 0))} files.
Code: ${commits.map((commit) => `${commit} (${count(kept.filter((one) => one.commit === commit).length)})`).join(', ')}.

| made wrong by | cases | ${outcomes.join(' | ')} | against what must hold |
| --- | --- | --- | --- | --- | --- | --- | --- |
${mutationNames.map((name, i) => row(name, kept.filter(({ index }) => index % mutationNames.length === i))).join('\n')}
${row('all', kept)}
`;
}
