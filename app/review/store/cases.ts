import { v4 as newCaseId } from 'uuid';
import type { Evidence } from '../../../lib/reports/evidence';
import type { Body, Entry } from '../../../lib/review/entry';
import { caseFile, type CaseFile } from '../../../lib/review/fold';
import type { History } from '../../../lib/review/graph';
import { compared, union } from '../../../lib/review/merge';
import { frozenEvidence } from '../../../lib/review/seal';
import { verified, type Damage } from '../../../lib/review/verify';
import { nextEntry, type By } from '../../../lib/review/write';
import { addEntries, readEntries, removeEverything } from './database';

/** A case whose stored history is not whole: shown as such, never drawn. */
export interface DamagedCase { readonly id: string; readonly entries: number; readonly damage: readonly Damage[] }

/** What this browser holds, each history checked as it was read. */
export interface Cases { readonly files: readonly CaseFile[]; readonly damaged: readonly DamagedCase[]; readonly checkedAt: Date }

const caseOf = (entry: unknown): string => (typeof entry === 'object' && entry !== null && 'case' in entry ? String(entry.case) : '');

const seen = new Map<string, Entry>();
/** The same object for the same entry, so that what did not change is not drawn again. Its hash was just found to be its id. */
function asBefore(entry: Entry): Entry {
  const before = seen.get(entry.id) ?? entry;
  seen.set(entry.id, before);
  return before;
}

async function read(): Promise<Cases> {
  const stored = await readEntries(), files: CaseFile[] = [], damaged: DamagedCase[] = [];
  for (const id of new Set(stored.map(caseOf))) {
    const entries = stored.filter((entry) => caseOf(entry) === id), result = await verified(entries);
    if (result.status === 'whole') files.push(caseFile(result.history.map(asBefore)));
    else damaged.push({ id, entries: entries.length, damage: result.damage });
  }
  return { files: files.sort((a, b) => ((a.history[0]?.at ?? '') < (b.history[0]?.at ?? '') ? -1 : 1)), damaged, checkedAt: new Date() };
}

let current: Cases | null = null;
let listeners: readonly (() => void)[] = [];
let channel: BroadcastChannel | null = null;

/** Reads again what is stored, here and in the other tabs. */
export async function refresh(): Promise<Cases> {
  current = await read();
  for (const listener of listeners) listener();
  return current;
}
const refreshed = () => { void refresh(); };

export function subscribe(listener: () => void): () => void {
  listeners = [...listeners, listener];
  if (channel === null) {
    channel = new BroadcastChannel('review');
    channel.addEventListener('message', refreshed);
    window.addEventListener('focus', refreshed);
  }
  if (current === null) refreshed();
  return () => {
    listeners = listeners.filter((other) => other !== listener);
    if (listeners.length > 0) return;
    channel?.close();
    channel = null;
    window.removeEventListener('focus', refreshed);
  };
}
export const snapshot = (): Cases | null => current;

async function store(entries: readonly Entry[]): Promise<void> {
  await addEntries(entries);
  channel?.postMessage('changed');
  await refresh();
}

async function historyOf(id: string): Promise<History> {
  const file = (await read()).files.find((other) => other.id === id); // another tab may have written
  if (file === undefined) throw new Error('the case is not in this browser, or its history is not whole');
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
  const { files } = await read(), brought: Entry[] = [], imported: Imported[] = [];
  for (const theirs of histories) {
    const id = theirs[0]?.case ?? '', mine = files.find((file) => file.id === id)?.history ?? [];
    const together = await verified(union(mine, theirs));
    if (together.status === 'damaged') throw new Error(`a case of the file and the one in this browser do not go together: ${together.damage[0]?.rule ?? ''}`);
    const { added, lacking } = compared(mine, theirs);
    brought.push(...added);
    imported.push({ id, isNew: mine.length === 0, added: added.length, lacking });
  }
  await store(brought);
  return imported;
}

export async function removeAll(): Promise<void> {
  await removeEverything();
  channel?.postMessage('changed');
  await refresh();
}
