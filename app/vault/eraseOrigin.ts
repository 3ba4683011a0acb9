import { deleteDB } from 'idb';

/** Everything that a site can store in a browser. */
export async function eraseOrigin(): Promise<void> {
  for (const { name } of await indexedDB.databases()) if (name !== undefined) await deleteDB(name);
  for (const name of await caches.keys()) await caches.delete(name);
  localStorage.clear();
  sessionStorage.clear();
  const root = await navigator.storage.getDirectory();
  for await (const name of root.keys()) await root.removeEntry(name, { recursive: true });
}
