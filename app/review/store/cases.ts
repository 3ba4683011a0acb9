import { v4 as newCaseId } from 'uuid';
import type { Evidence } from '../../../lib/reports/evidence';
import type { Body, Entry } from '../../../lib/review/entry';
import type { History } from '../../../lib/review/graph';
import { compared, union } from '../../../lib/review/merge';
import { frozenEvidence } from '../../../lib/review/seal';
import { verified } from '../../../lib/review/verify';
import { nextEntry, type By } from '../../../lib/review/write';
import { snapshot as keeping, subscribe as onKeeping, read as readKept, type Kept } from '../../vault/keeping';
import { names } from '../../vault/names';
import { casesOf, type Cases } from './held';
import { emptyKeptCases, entriesIn, keepEntries, together, type StoredEntry } from './keptCases';

// Cases live in the memory of a tab. Where the person keeps cases on the machine, what is written goes there before it is shown.

let held: readonly StoredEntry[] = [];
let safe: ReadonlySet<string> = new Set(); // entries that are kept or were exported
let kept: ReadonlySet<string> = new Set();
let current: Cases | null = null;
let listeners: readonly (() => void)[] = [];
let lastKept: Kept | null = null;

const areKept = (): boolean => { const { kept: now } = keeping(); return now.status === 'unlocked' && now.records.has(names.cases); };
const unsaved = (): readonly StoredEntry[] => held.filter(({ id }) => !kept.has(id) && !safe.has(id));

async function announce(): Promise<Cases> {
  current = await casesOf(held, unsaved().length);
  for (const listener of listeners) listener();
  return current;
}

/** Takes over what is kept, when it is unlocked and whenever another tab has written; lets go of it when it is locked or removed. */
async function follow(): Promise<void> {
  const { kept: now } = keeping();
  if (now === lastKept) return;
  lastKept = now;
  if (areKept()) {
    const stored = await entriesIn(await readKept(names.cases));
    if (lastKept !== now) return; // changed meanwhile, and followed
    const added = held.filter(({ id }) => !stored.some((entry) => entry.id === id));
    if (added.length === 0 && stored.length === kept.size && stored.length === held.length) return; // written by this tab, and shown
    held = together(held, stored);
    kept = new Set(stored.map(({ id }) => id));
    if (added.length > 0) await keepEntries(added); // raised before it was unlocked; ends in another turn here
  } else if (now.status !== 'unlocked' && kept.size > 0) {
    held = held.filter(({ id }) => !kept.has(id));
    kept = new Set();
  } else kept = new Set();
  await announce();
}

const warn = (event: BeforeUnloadEvent) => { if (unsaved().length > 0) event.preventDefault(); };

export function subscribe(listener: () => void): () => void {
  listeners = [...listeners, listener];
  if (current === null) void announce();
  return () => { listeners = listeners.filter((other) => other !== listener); };
}
export const snapshot = (): Cases | null => current;

/** For as long as the site is open, whatever page is shown. */
export function attend(): () => void {
  const end = onKeeping(() => { void follow(); });
  window.addEventListener('beforeunload', warn);
  return () => {
    end();
    window.removeEventListener('beforeunload', warn);
  };
}

async function store(entries: readonly StoredEntry[]): Promise<void> {
  if (areKept()) {
    const problem = await keepEntries(entries);
    if (problem !== null) throw new Error(problem);
    kept = new Set([...kept, ...entries.map(({ id }) => id)]);
  }
  held = together(held, entries);
  await announce();
}

async function historyOf(id: string): Promise<History> {
  if (areKept()) held = together(held, await entriesIn(await readKept(names.cases))); // another tab may have written
  const file = (await casesOf(held, 0)).files.find((other) => other.id === id);
  if (file === undefined) throw new Error('the case is not here, or its history is not whole');
  return file.history;
}

/** Writes one entry after another into a case: all of them or, where a rule forbids one, none. */
export async function record(id: string, bodies: readonly Body[], by: By): Promise<void> {
  const before = await historyOf(id), added: Entry[] = [];
  for (const body of bodies) added.push(await nextEntry(id, [...before, ...added], body, by));
  await store(added);
}

/** Opens a case and gives its id. */
export async function openCase(evidence: Evidence, by: By): Promise<string> {
  const id = newCaseId();
  await store([await nextEntry(id, [], { kind: 'opened', ...await frozenEvidence(evidence) }, by)]);
  return id;
}

export const addEvidence = async (id: string, evidence: Evidence, by: By): Promise<void> =>
  record(id, [{ kind: 'evidenceAdded', ...await frozenEvidence(evidence) }], by);

/** What an import did to one case. */
export interface Imported { readonly id: string; readonly isNew: boolean; readonly added: number; readonly lacking: number }

/** Adds what verified histories bring. Nothing that is here is lost. Throws where the two together are not one history. */
export async function takeIn(histories: readonly History[]): Promise<readonly Imported[]> {
  const { files } = await casesOf(held, 0), brought: Entry[] = [], imported: Imported[] = [];
  for (const theirs of histories) {
    const id = theirs[0]?.case ?? '', mine = files.find((file) => file.id === id)?.history ?? [];
    const both = await verified(union(mine, theirs));
    if (both.status === 'damaged') throw new Error(`a case of the file and the one that is here do not go together: ${both.damage[0]?.rule ?? ''}`);
    const { added, lacking } = compared(mine, theirs);
    brought.push(...added);
    imported.push({ id, isNew: mine.length === 0, added: added.length, lacking });
  }
  if (brought.length > 0) await store(brought);
  return imported;
}

/** Takes over entries as an earlier version stored them. */
export const bringIn = (entries: readonly unknown[]): Promise<void> =>
  store(entries.filter((entry): entry is StoredEntry => typeof entry === 'object' && entry !== null && 'id' in entry && typeof entry.id === 'string'));

/** Everything that is held, for keeping it for the first time. */
export const allEntries = (): readonly StoredEntry[] => held;

/** They are in a file of the person's. */
export async function noteExported(histories: readonly History[]): Promise<void> {
  safe = new Set([...safe, ...histories.flat().map(({ id }) => id)]);
  await announce();
}

/** Lets go of all cases, here and among what is kept. Gives the reason where that failed. */
export async function removeAll(): Promise<string | null> {
  const problem = areKept() ? await emptyKeptCases() : null;
  if (problem === null) letGo();
  return problem;
}

/** Lets go of what is in memory. */
export function letGo(): void {
  held = [];
  kept = new Set();
  void announce();
}
