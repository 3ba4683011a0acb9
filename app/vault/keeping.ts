import { changePassphrase, newVault, unlock as unlockVault, type Change, type Vault } from '../../lib/vault/vault';
import { createDatabase, databaseIsThere, indexedDbStore as store, removeDatabase } from './indexedDbStore';
import { ExtractNote, names } from './names';
import { failureWords, roomProblem } from './room';
import { eraseOrigin } from './eraseOrigin';
import { alone, aloneIfFree, aloneSoon, besideReaders, others, type Told } from './tabs';

/** What is kept, as far as this tab may know. */
export type Kept =
  | { readonly status: 'looking' | 'impossible' | 'none' | 'locked' }
  | { readonly status: 'unlocked'; readonly records: ReadonlyMap<string, number>; readonly extract: ExtractNote | null }; // sizes in bytes, by name

export interface Keeping {
  readonly kept: Kept;
  readonly work: { readonly label: string; readonly fraction: number } | null; // being done
  readonly notice: string | null; // what another tab did
}

let vault: Vault | null = null;
let state: Keeping = { kept: { status: 'looking' }, work: null, notice: null };
let listeners: readonly (() => void)[] = [];
let ending = new AbortController(); // of what is being written or read

function show(part: Partial<Keeping>): void {
  state = { ...state, ...part };
  for (const listener of listeners) listener();
}

export const snapshot = (): Keeping => state;

export function subscribe(listener: () => void): () => void {
  listeners = [...listeners, listener];
  if (state.kept.status === 'looking') void look();
  return () => { listeners = listeners.filter((other) => other !== listener); };
}

const channel = typeof BroadcastChannel === 'undefined' || typeof window === 'undefined' ? null : others(hear);

function hear(told: Told): void {
  if (told === 'removing') ending.abort(new DOMException('another tab is removing everything', 'AbortError'));
  else if (told === 'changed' && vault !== null) void settle('Another tab changed what is kept.');
  else if (told === 'changed') void look();
  else {
    forget();
    show({ kept: { status: told === 'locked' && state.kept.status !== 'none' ? 'locked' : 'none' }, notice: told === 'locked' ? 'Locked in another tab.' : 'Another tab removed everything that was kept.' });
  }
}

function forget(): void {
  ending.abort(new DOMException('it was locked', 'AbortError'));
  vault = null;
}

/** Looks whether anything is kept. A first version that was never finished is swept out. */
async function look(): Promise<void> {
  if (!('subtle' in crypto) || !('locks' in navigator)) { show({ kept: { status: 'impossible' } }); return; }
  if (vault !== null) return;
  const isThere = await databaseIsThere();
  if (isThere && await store.current().catch(() => 'not readable') === null) await aloneIfFree(async () => { if (await store.current() === null) await removeDatabase(); });
  show({ kept: { status: isThere && await store.current().catch(() => 'not readable') !== null ? 'locked' : 'none' } });
}

/** Reads the list of what is kept. */
async function settle(notice: string | null = null): Promise<void> {
  if (vault === null) return;
  try {
    const open = vault;
    const { records, note } = await besideReaders(async () => ({ records: new Map((await open.records()).map(({ name, size }) => [name, size])), note: await open.read(names.extract) }));
    const extract = note === null ? null : ExtractNote.parse(JSON.parse(await note.text()));
    show({ kept: { status: 'unlocked', records, extract }, notice });
  } catch (error) {
    forget();
    show({ kept: { status: 'locked' }, notice: failureWords(error) });
  }
}

/** One piece of work with its progress by bytes; another ends it. */
async function working<R>(label: string, bytes: number, work: (passing: { readonly onBytes: (n: number) => void; readonly signal: AbortSignal }) => Promise<R>): Promise<R> {
  ending = new AbortController();
  let done = 0;
  const onBytes = (n: number) => {
    done += n;
    show({ work: { label, fraction: bytes === 0 ? 1 : Math.min(1, done / bytes) } });
  };
  onBytes(0);
  try {
    return await work({ onBytes, signal: ending.signal });
  } finally {
    show({ work: null });
  }
}

/** Gives the reason where it does not open. */
export async function unlock(passphrase: string): Promise<string | null> {
  try {
    const result = await besideReaders(() => unlockVault(store, passphrase));
    if (result.status === 'wrongPassphrase') return 'This is not the passphrase.';
    if (result.status === 'damaged') return 'What is stored was damaged: no passphrase opens it. It can be removed, and kept anew from your own files.';
    if (result.status === 'none') { show({ kept: { status: 'none' } }); return 'Nothing is kept here any more.'; }
    ({ vault } = result);
    await settle();
    return null;
  } catch (error) {
    return failureWords(error);
  }
}

/** Forgets the key, here and in the other tabs. */
export function lock(): void {
  forget();
  channel?.tell('locked');
  show({ kept: { status: 'locked' }, notice: null });
}

/**
 * Writes a change, which is made from what is kept by then. A passphrase makes a vault where there is none. Gives the reason where nothing
 * was written.
 */
export async function keep(make: (vault: Vault) => Promise<Change>, passphrase: string | null, label = 'Encrypting and keeping'): Promise<string | null> {
  try {
    await alone(async () => {
      const isNew = vault === null;
      if (isNew && (passphrase === null || await databaseIsThere())) throw new Error('what is kept here is locked: unlock it first');
      const open = vault ?? await newVault(store, passphrase ?? '');
      const change = await make(open), bytes = change.put.reduce((sum, { content }) => sum + content.size, 0), problem = await roomProblem(bytes);
      if (problem !== null) throw new Error(problem);
      if (isNew) await createDatabase();
      try {
        await working(label, bytes, (passing) => open.write(change, passing));
      } catch (error) {
        if (isNew) await removeDatabase();
        throw error;
      }
      if (isNew) await navigator.storage.persist().catch(() => false); // asks that the browser does not clear it by itself
      vault = open;
    });
    channel?.tell('changed');
    await settle();
    return null;
  } catch (error) {
    return failureWords(error);
  }
}

/** What is kept under a name; null: nothing is, or it is locked. Throws where it is not whole. */
export const read = async (name: string): Promise<Blob | null> => {
  const open = vault;
  return open === null ? null : besideReaders(() => open.read(name));
};

/** The files of the kept extract, as they were chosen. */
export async function readExtract(): Promise<{ readonly files: readonly File[]; readonly note: ExtractNote } | null> {
  const open = vault;
  if (open === null || state.kept.status !== 'unlocked' || state.kept.extract === null) return null;
  const { extract: note, records } = state.kept, bytes = note.files.reduce((sum, _path, i) => sum + (records.get(names.file(i)) ?? 0), 0);
  return besideReaders(() => working('Reading what is kept', bytes, async (passing) => {
    const files: File[] = [];
    for (const [i, path] of note.files.entries()) {
      const content = await open.read(names.file(i), passing);
      if (content === null) throw new Error(`${path} is not among what is kept`);
      files.push(new File([content], path));
    }
    return { files, note };
  }));
}

export async function renewPassphrase(before: string, after: string): Promise<string | null> {
  try {
    const result = await alone(() => changePassphrase(store, before, after));
    if (result !== 'changed') return result === 'wrongPassphrase' ? 'The passphrase so far is not this one.' : 'What is stored was damaged, or removed in another tab.';
    channel?.tell('changed');
    await settle();
    return null;
  } catch (error) {
    return failureWords(error);
  }
}

/** Removes everything that this site has stored in this browser, whoever stored it. */
export async function removeEverything(): Promise<void> {
  channel?.tell('removing');
  forget();
  await aloneSoon(eraseOrigin);
  channel?.tell('removed');
  show({ kept: { status: 'none' }, notice: null });
}
