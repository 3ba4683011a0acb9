import { deleteDB, openDB, type DBSchema } from 'idb';
import type { Entry } from '../../../lib/review/entry';

// One store of entries by their id: two tabs, or a file and this browser, can only add to each other.
interface Schema extends DBSchema {
  entries: { key: string; value: Entry };
}

const name = 'review';

/** Nothing is stored, not even an empty database, before the first question is raised. */
const isThere = async (): Promise<boolean> => (await indexedDB.databases()).some((database) => database.name === name);

/** Opened for one piece of work: an open connection would keep another tab from removing everything. */
async function using<R>(work: (database: Awaited<ReturnType<typeof openDB<Schema>>>) => Promise<R>): Promise<R> {
  const database = await openDB<Schema>(name, 1, { upgrade: (fresh) => { fresh.createObjectStore('entries', { keyPath: 'id' }); } });
  try {
    return await work(database);
  } finally {
    database.close();
  }
}

export const readEntries = async (): Promise<readonly unknown[]> => (await isThere() ? using((database) => database.getAll('entries')) : []);

/** All of them or none. */
export const addEntries = (entries: readonly Entry[]): Promise<void> => using(async (database) => {
  const work = database.transaction('entries', 'readwrite', { durability: 'strict' });
  await Promise.all([...entries.map((entry) => work.store.put(entry)), work.done]);
});

export const removeEverything = (): Promise<void> => deleteDB(name);
