import { newId, randomBytes } from './bytes';
import { currentOf, openContents, sealContents, type KeptRecord } from './contents';
import { publishedIterations } from './deriveKey';
import { importKey } from './gcm';
import { makeHeader, openHeader, type Header, type Opened } from './header';
import { readRecord, usualPieceBytes, writeRecord, type Passing } from './pieces';
import type { Current, VaultStore } from './store';
import { VaultError } from './vaultError';

export interface Change {
  readonly put: readonly { readonly name: string; readonly content: Blob }[]; // in place of records of the same names
  readonly drop: (name: string) => boolean; // records that go; those put stay
}

/** A vault whose key is known. What it holds is looked up each time: another tab may have written. */
export interface Vault {
  readonly id: string;
  records(): Promise<readonly KeptRecord[]>;
  /** Bytes of a record; null: there is none of that name. Throws a VaultError where it is not as it was written. */
  read(name: string, passing?: Passing): Promise<Blob | null>;
  /** All of a change or nothing. What was there stays whole until the very end. */
  write(change: Change, passing?: Passing & { readonly pieceBytes?: number }): Promise<void>;
}

const gone = () => new VaultError('changed', 'what was kept has been removed or replaced in another tab');

function vaultOf(store: VaultStore, header: Header, key: CryptoKey, isNew: boolean): Vault {
  const { id } = header;
  let unwritten = isNew;
  const found = async (): Promise<Current | null> => {
    const current = await currentOf(store);
    if (current === null ? !unwritten : (current.header as Partial<Header> | null)?.id !== id) throw gone();
    return current;
  };
  const recordsOf = async (current: Current | null) => (current === null ? [] : openContents(key, id, current));
  return {
    id,
    records: async () => recordsOf(await found()),
    async read(name, passing = {}) {
      const record = (await recordsOf(await found())).find((other) => other.name === name);
      if (record === undefined) return null;
      const pieces: Blob[] = []; // a blob each, so that the browser and not the page holds what was read
      for await (const piece of readRecord(store, key, id, record, passing)) pieces.push(new Blob([piece]));
      return new Blob(pieces);
    },
    async write({ put, drop }, { pieceBytes = usualPieceBytes, ...passing } = {}) {
      const before = await found();
      try {
        const written: KeptRecord[] = [];
        for (const { name, content } of put) written.push(await writeRecord(store, key, id, name, content, pieceBytes, passing));
        const replaced = new Set(put.map(({ name }) => name));
        const records = [...(await recordsOf(before)).filter(({ name }) => !replaced.has(name) && !drop(name)), ...written];
        passing.signal?.throwIfAborted();
        const revision = newId();
        const next: Current = { revision, header: before?.header ?? header, contents: await sealContents(key, id, revision, records), records: records.map((record) => record.id) };
        if (!await store.commit(next, before?.revision ?? null)) throw gone();
        unwritten = false;
      } catch (error) {
        await store.clean().catch(() => undefined); // what could not be cleaned now is cleaned before the next write; the error that led here counts
        throw error;
      }
    },
  };
}

/** A vault of its own key. Nothing of it is stored before it is first written to. */
export async function newVault(store: VaultStore, passphrase: string, iterations = publishedIterations): Promise<Vault> {
  const dataKey = randomBytes(32);
  return vaultOf(store, await makeHeader(newId(), dataKey, passphrase, iterations), await importKey(dataKey), true);
}

export type Unlocked = { readonly status: 'unlocked'; readonly vault: Vault } | Exclude<Opened, { status: 'opened' }> | { readonly status: 'none' };

/** Opens what is kept. Throws a VaultError where it is not a vault at all. */
export async function unlock(store: VaultStore, passphrase: string): Promise<Unlocked> {
  const current = await currentOf(store);
  if (current === null) return { status: 'none' };
  const opened = await openHeader(current.header, passphrase);
  if (opened.status !== 'opened') return opened;
  const vault = vaultOf(store, opened.header, await importKey(opened.dataKey), false);
  await vault.records(); // that its list is whole
  return { status: 'unlocked', vault };
}

/** Another passphrase for the same data, of which nothing is written anew. */
export async function changePassphrase(store: VaultStore, before: string, after: string, iterations = publishedIterations): Promise<'changed' | Exclude<Unlocked['status'], 'unlocked'>> {
  const current = await currentOf(store);
  if (current === null) return 'none';
  const opened = await openHeader(current.header, before);
  if (opened.status !== 'opened') return opened.status;
  const { header: { id }, dataKey } = opened, key = await importKey(dataKey), revision = newId();
  const next = { ...current, revision, header: await makeHeader(id, dataKey, after, iterations), contents: await sealContents(key, id, revision, await openContents(key, id, current)) };
  if (!await store.commit(next, current.revision)) throw gone();
  return 'changed';
}
