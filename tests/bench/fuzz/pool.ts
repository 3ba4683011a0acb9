import { fork, spawnSync, type ChildProcess } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Answer, Task } from './child';

const child = fileURLToPath(new URL('child.ts', import.meta.url)), cwd = fileURLToPath(new URL('../../.output/', import.meta.url));
const longestSeconds = 600; // of the clock: a process may wait for its turn on a busy machine

export type Ended = Answer | Task & { readonly outcome: 'hung' | 'crashed'; readonly failures: readonly string[] };

/**
 * Tries every task, each in one of `size` processes. A process that dies or does not answer within ten minutes is a failure of its task,
 * and another takes its place. A process that dies leaves a core in tests/.output, where the system is set so: `gdb -batch -ex bt node core` says where it was.
 */
export async function runAll(tasks: readonly Task[], size: number, onEnd: (ended: Ended) => void): Promise<void> {
  spawnSync('prlimit', [`--pid=${process.pid}`, '--core=unlimited']); // for those that it starts, too; where there is no such program, no core is left
  const waiting = tasks[Symbol.iterator]();
  await Promise.all(Array.from({ length: size }, async () => {
    let running: ChildProcess | null = null;
    for (const task of waiting) {
      running ??= await start();
      const ended = await ask(running, task);
      onEnd(ended);
      if (ended.outcome === 'hung' || ended.outcome === 'crashed') {
        running.kill('SIGKILL');
        running = null;
      }
    }
    running?.kill();
  }));
}

const start = (): Promise<ChildProcess> => new Promise((resolve, reject) => {
  const started = fork(child, { cwd, execArgv: ['--import', 'tsx'], stdio: ['ignore', 'ignore', 'inherit', 'ipc'] });
  started.once('message', () => { resolve(started); });
  started.once('exit', () => { reject(new Error('a process did not start')); });
});

const ask = (running: ChildProcess, task: Task): Promise<Ended> => new Promise((resolve) => {
  const end = (ended: Ended): void => {
    clearTimeout(watchdog);
    running.removeAllListeners();
    resolve(ended);
  };
  const watchdog = setTimeout(() => { end({ ...task, outcome: 'hung', failures: [`no answer within ${longestSeconds} seconds`] }); }, longestSeconds * 1000);
  running.once('message', (answer) => { end(answer as Answer); });
  running.once('exit', (code, signal) => { end({ ...task, outcome: 'crashed', failures: [`the process ended (${String(code ?? signal)})`] }); });
  running.send(task);
});
