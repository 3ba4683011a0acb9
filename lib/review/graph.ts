import type { Entry } from './entry';

/** A history: every entry's parents are among the others. */
export type History = readonly Entry[];

/** The entries that nothing was written on yet, their hashes ascending. */
export function headsOf(history: History): readonly string[] {
  const written = new Set(history.flatMap(({ parents }) => parents));
  return history.map(({ id }) => id).filter((id) => !written.has(id)).sort();
}

const before = (a: Entry, b: Entry): number => (a.at < b.at ? -1 : a.at > b.at ? 1 : a.id < b.id ? -1 : 1);

/** Parents before children; of those that could come next the earliest does. The same whatever order the entries come in. */
export function inOrder(history: History): History {
  const children = new Map<string, Entry[]>();
  for (const entry of history) for (const parent of entry.parents) children.set(parent, [...(children.get(parent) ?? []), entry]);
  const waiting = new Map(history.map(({ id, parents }) => [id, parents.length]));
  const ready = history.filter(({ parents }) => parents.length === 0), ordered: Entry[] = [];
  while (ready.length > 0) {
    const next = ready.sort(before).shift()!;
    ordered.push(next);
    for (const entry of children.get(next.id) ?? []) {
      const left = (waiting.get(entry.id) ?? 0) - 1;
      waiting.set(entry.id, left);
      if (left === 0) ready.push(entry);
    }
  }
  return ordered;
}

/** The ids of everything that an entry was written on, near and far, for each entry. */
export function ancestorsOf(ordered: History): ReadonlyMap<string, ReadonlySet<string>> {
  const all = new Map<string, ReadonlySet<string>>();
  for (const { id, parents } of ordered) all.set(id, new Set(parents.flatMap((parent) => [parent, ...(all.get(parent) ?? [])])));
  return all;
}
