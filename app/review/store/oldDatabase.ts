import { deleteDB, openDB } from 'idb';

// Cases once were stored as they are, without being asked for. What an earlier version left is offered to the person and never written to.

const name = 'review';

export const oldCasesAreThere = async (): Promise<boolean> => (await indexedDB.databases()).some((database) => database.name === name);

export async function readOldCases(): Promise<readonly unknown[]> {
  if (!await oldCasesAreThere()) return [];
  const database = await openDB(name);
  try {
    return database.objectStoreNames.contains('entries') ? await database.getAll('entries') as unknown[] : [];
  } finally {
    database.close();
  }
}

export const removeOldCases = (): Promise<void> => deleteDB(name);
