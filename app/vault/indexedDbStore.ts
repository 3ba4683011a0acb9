import { deleteDB, openDB, type DBSchema, type IDBPDatabase } from 'idb';
import type { Bytes } from '../../lib/vault/bytes';
import type { Current, VaultStore } from '../../lib/vault/store';
import { VaultError } from '../../lib/vault/vaultError';

// Why not files in the origin's private file system: a version becomes current, and the one before goes, in one transaction here, whereas
// files can only be renamed one at a time. Pieces of a few MiB lie in files of their own in either case.
interface Schema extends DBSchema {
  current: { key: 'current'; value: Current };
  pieces: { key: [record: string, number: number]; value: Bytes };
}

export const vaultDatabase = 'vault';

export const databaseIsThere = async (): Promise<boolean> => (await indexedDB.databases()).some(({ name }) => name === vaultDatabase);

/** Opened for one piece of work: an open connection would keep another tab from removing everything. */
async function using<R>(work: (database: IDBPDatabase<Schema>) => Promise<R>, mayCreate = false): Promise<R> {
  const database = await openDB<Schema>(vaultDatabase, 1, {
    upgrade(fresh, _before, _version, transaction) {
      if (!mayCreate) { // removed in another tab, and not to come back by being looked for
        transaction.abort();
        return;
      }
      fresh.createObjectStore('current');
      fresh.createObjectStore('pieces');
    },
    blocking(_version, _blocked, event) { (event.target as IDBDatabase).close(); },
  }).catch((error: unknown) => {
    if (error instanceof DOMException && error.name === 'AbortError') throw new VaultError('changed', 'what was kept has been removed in another tab');
    throw error;
  });
  try {
    return await work(database);
  } finally {
    database.close();
  }
}

/** The place for a first version. */
export const createDatabase = (): Promise<void> => using(() => Promise.resolve(), true);
export const removeDatabase = (): Promise<void> => deleteDB(vaultDatabase);

const strict = { durability: 'strict' } as const;
const ofRecord = (record: string) => IDBKeyRange.bound([record, 0], [record, Infinity]);

export const indexedDbStore: VaultStore = {
  current: async () => (await databaseIsThere() ? using(async (database) => (await database.get('current', 'current')) ?? null) : null),
  piece: (record, number) => using(async (database) => (await database.get('pieces', [record, number])) ?? null),
  count: (record) => using((database) => database.count('pieces', ofRecord(record))),
  putPiece: (record, number, sealed) => using(async (database) => {
    const work = database.transaction('pieces', 'readwrite', strict);
    await Promise.all([work.store.put(sealed, [record, number]), work.done]);
  }),
  commit: (next, replaces) => using(async (database) => {
    const work = database.transaction(['current', 'pieces'], 'readwrite', strict);
    const before = await work.objectStore('current').get('current');
    if ((before?.revision ?? null) !== replaces) return false;
    await Promise.all([work.objectStore('current').put(next, 'current'), sweep(work.objectStore('pieces'), next.records), work.done]);
    return true;
  }),
  clean: () => using(async (database) => {
    const work = database.transaction(['current', 'pieces'], 'readwrite', strict);
    const current = await work.objectStore('current').get('current');
    await Promise.all([sweep(work.objectStore('pieces'), current?.records ?? []), work.done]);
  }),
};

interface Pieces { getAllKeys(): Promise<[string, number][]>; delete(key: [string, number]): Promise<void> }

async function sweep(pieces: Pieces, keep: readonly string[]): Promise<void> {
  const kept = new Set(keep);
  await Promise.all((await pieces.getAllKeys()).filter(([record]) => !kept.has(record)).map((key) => pieces.delete(key)));
}
