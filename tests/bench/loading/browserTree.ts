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

/** What a process and all that it started hold of the memory, in bytes; what several share is counted once (proportional set size, Linux). */
function memoryOf(root: number): number {
  const of = children();
  let bytes = 0;
  for (const waiting = [root]; waiting.length > 0;) {
    const pid = waiting.pop() ?? 0;
    waiting.push(...of.get(pid) ?? []);
    try {
      bytes += 1024 * Number(/^Pss:\s+(\d+)/m.exec(readFileSync(`/proc/${pid}/smaps_rollup`, 'utf8'))?.[1] ?? 0);
    } catch { /* it has ended, or may not be looked into */ }
  }
  return bytes;
}

/** Looks at the memory of a process and all that it started, four times a second, and keeps the most. */
export function watchMemory(root: number): { readonly peak: () => number; readonly end: () => void } {
  let most = memoryOf(root);
  const timer = setInterval(() => { most = Math.max(most, memoryOf(root)); }, 250);
  return { peak: () => most, end: () => { clearInterval(timer); } };
}
