import type { Entry } from './entry';
import type { History } from './graph';

/** Two copies of a history as one. Entries have their content in their id, so nothing can be lost or doubled. */
export const union = (mine: History, theirs: History): History => [...new Map([...mine, ...theirs].map((entry) => [entry.id, entry])).values()];

/** What a copy brings to the one that is here. */
export interface Comparison {
  readonly added: readonly Entry[]; // in the copy and not here
  readonly lacking: number; // here and not in the copy: so many entries it is behind
}

export function compared(mine: History, theirs: History): Comparison {
  const has = (history: History) => { const ids = new Set(history.map(({ id }) => id)); return (entry: Entry) => ids.has(entry.id); };
  return { added: theirs.filter((entry) => !has(mine)(entry)), lacking: mine.filter((entry) => !has(theirs)(entry)).length };
}
