import { readdirSync, readFileSync } from 'node:fs';

const children = (): ReadonlyMap<number, readonly number[]> => {
  const found = new Map<number, number[]>();
  for (const name of readdirSync('/proc').filter((entry) => /^\d+$/.test(entry))) {
    try {
      const stat = readFileSync(`/proc/${name}/stat`, 'utf8'), parent = Number(stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1]);
      found.set(parent, [...found.get(parent) ?? [], Number(name)]);
    } catch { /* it has ended */ }
  }
  return found;
};

/**
 * What a process and all that it started have held of the memory at most, in bytes: what they hold now, of which what several share is counted once
 * (proportional set size, Linux), and by how much each once held more. Their peaks need not have come together, so it is rather more than it was.
 * To be asked when nothing is timed: a look takes some 50 ms, in which the processes wait for memory.
 */
export function mostMemoryOf(root: number): number {
  const of = children();
  let bytes = 0;
  for (const waiting = [root]; waiting.length > 0;) {
    const pid = waiting.pop() ?? 0;
    waiting.push(...of.get(pid) ?? []);
    try {
      const kilobytes = (file: string, name: string): number => Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(readFileSync(`/proc/${pid}/${file}`, 'utf8'))?.[1] ?? 0);
      bytes += 1024 * (kilobytes('smaps_rollup', 'Pss') + kilobytes('status', 'VmHWM') - kilobytes('status', 'VmRSS'));
    } catch { /* it has ended, or may not be looked into */ }
  }
  return bytes;
}
