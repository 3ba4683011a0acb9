import { execFile } from 'node:child_process';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';

/** What the command line prints for a question, as JSON; `chapters` as its option has it. */
export const commandLine = (question: object, chapters = 'all'): Promise<unknown> => printedFor('--question', question, '--chapters', chapters);

/** … for what is asked in the file of this option. */
export async function printedFor(option: string, question: object, ...more: readonly string[]): Promise<unknown> {
  const folder = await mkdtemp(join(tmpdir(), 'question-'));
  try {
    const file = join(folder, 'question.json');
    await writeFile(file, JSON.stringify(question));
    const options = ['--extract', 'sample-registry/extract', option, file, ...more];
    const { stdout } = await promisify(execFile)('npx', ['tsx', 'lib/cli/analyse.ts', ...options], { maxBuffer: 256e6 });
    return JSON.parse(stdout);
  } finally {
    await rm(folder, { recursive: true });
  }
}
