import { InputError } from './inputError';

let last = '';
/** A line for a person who waits, on standard error; not twice in a row. */
export function progress(line: string): void {
  if (line !== last) process.stderr.write(`${line}\n`);
  last = line;
}

/** Prints what a command gives. Bad input ends it with status 2 and one line that says what is wrong; anything else is a defect. */
export async function command(output: (args: readonly string[]) => Promise<string>): Promise<void> {
  try {
    process.stdout.write(await output(process.argv.slice(2)));
  } catch (error) {
    if (!(error instanceof InputError)) throw error;
    process.stderr.write(`${error.message.replace(/\s+/g, ' ')}\n`);
    process.exitCode = 2;
  }
}
