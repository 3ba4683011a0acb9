import { z } from 'zod';

/** Milliseconds of the clock over several runs of the same work. */
export const Times = z.object({ median: z.number(), least: z.number(), runs: z.int() });
export type Times = z.infer<typeof Times>;

export const Failed = z.object({ failed: z.string() });
export type Failed = z.infer<typeof Failed>;

/** What a measurement gave, or why it gave nothing. */
export const Cell = z.union([Times, Failed]);
export type Cell = z.infer<typeof Cell>;

const longest = 60_000; // of one measurement: no further run begins after it
const atLeast = 1000; // a median of a few runs of milliseconds each is that of what else the machine did
const mostRuns = 50; // questions.ts has no more first years

export const reasonOf = (error: unknown): string => (error instanceof Error ? error.message : String(error)).split('\n', 1)[0] ?? '';

/** Runs the work so often, and what is short more often until a second has passed; keeps what the last run gave. `run` is its number, from 0. */
export async function timed<T>(runs: number, work: (run: number) => T | Promise<T>): Promise<{ readonly times: Times; readonly result: T }> {
  const took: number[] = [], began = performance.now();
  let result = await timedOnce(0);
  for (let run = 1; isToRun(run, performance.now() - began); ++run) result = await timedOnce(run);
  return { times: summary(took), result };

  function isToRun(run: number, passed: number): boolean {
    return run < runs ? passed < longest : run < mostRuns && passed < atLeast;
  }

  async function timedOnce(run: number): Promise<T> {
    const started = performance.now(), given = await work(run);
    took.push(performance.now() - started);
    return given;
  }
}

export function summary(took: readonly number[]): Times {
  const sorted = took.toSorted((a, b) => a - b), middle = Math.floor(sorted.length / 2);
  const median = sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
  return { median, least: sorted[0]!, runs: sorted.length };
}
