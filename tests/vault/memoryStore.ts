import type { Bytes } from '@/lib/vault/bytes';
import type { Current, VaultStore } from '@/lib/vault/store';

/** A store whose contents a test can damage. `failAfter`: so many more pieces can be written. */
export interface MemoryStore extends VaultStore {
  held: { current: Current | null; readonly pieces: Map<string, Bytes>; failAfter: number };
}

export const keyOf = (record: string, number: number): string => `${record}/${number}`;

export function memoryStore(): MemoryStore {
  const held: MemoryStore['held'] = { current: null, pieces: new Map(), failAfter: Infinity };
  const clean = () => { for (const key of held.pieces.keys()) if (held.current?.records.includes(key.split('/')[0]!) !== true) held.pieces.delete(key); };
  return {
    held,
    current: () => Promise.resolve(held.current),
    piece: (record, number) => Promise.resolve(held.pieces.get(keyOf(record, number)) ?? null),
    count: (record) => Promise.resolve([...held.pieces.keys()].filter((key) => key.startsWith(`${record}/`)).length),
    putPiece(record, number, sealed) {
      if (held.failAfter-- <= 0) return Promise.reject(new DOMException('full', 'QuotaExceededError'));
      held.pieces.set(keyOf(record, number), sealed);
      return Promise.resolve();
    },
    commit(next, replaces) {
      if ((held.current?.revision ?? null) !== replaces) return Promise.resolve(false);
      held.current = next;
      clean();
      return Promise.resolve(true);
    },
    clean() {
      clean();
      return Promise.resolve();
    },
  };
}
