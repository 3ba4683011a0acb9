import { newId, type Bytes } from './bytes';
import type { KeptRecord } from './contents';
import { context, open, seal } from './gcm';
import type { VaultStore } from './store';
import { VaultError } from './vaultError';

/** Small enough to be held in memory a few times over. */
export const usualPieceBytes = 4 * 1024 * 1024;

/** Which piece of which record: bytes that stand in another place do not open. */
const about = (vault: string, { id, name, pieces }: KeptRecord, number: number): Bytes => context('piece', vault, id, name, number, pieces);

export interface Passing {
  readonly onBytes?: (bytes: number) => void; // of plain text, since the last call
  readonly signal?: AbortSignal;
}

/** Writes a record piece by piece beside what is there. */
export async function writeRecord(store: VaultStore, key: CryptoKey, vault: string, name: string, content: Blob, pieceBytes: number, { onBytes, signal }: Passing): Promise<KeptRecord> {
  const record: KeptRecord = { name, id: newId(), size: content.size, pieces: Math.max(1, Math.ceil(content.size / pieceBytes)) };
  for (let number = 0; number < record.pieces; ++number) {
    signal?.throwIfAborted();
    const plain = new Uint8Array(await content.slice(number * pieceBytes, (number + 1) * pieceBytes).arrayBuffer());
    await store.putPiece(record.id, number, await seal(key, about(vault, record, number), plain));
    onBytes?.(plain.length);
  }
  return record;
}

/** The pieces of a record in order, each checked. Throws a VaultError at the first that is not as it was written. */
export async function* readRecord(store: VaultStore, key: CryptoKey, vault: string, record: KeptRecord, { onBytes, signal }: Passing): AsyncGenerator<Bytes> {
  const damaged = (what: string) => new VaultError('damaged', `${record.name}: ${what}`);
  const found = await store.count(record.id);
  if (found !== record.pieces) throw damaged(`${found} pieces are stored where ${record.pieces} were written`);
  let size = 0;
  for (let number = 0; number < record.pieces; ++number) {
    signal?.throwIfAborted();
    const sealed = await store.piece(record.id, number);
    if (sealed === null) throw damaged(`piece ${number + 1} of ${record.pieces} is missing`);
    const plain = await open(key, about(vault, record, number), sealed);
    if (plain === null) throw damaged(`piece ${number + 1} of ${record.pieces} is not as it was written`);
    size += plain.length;
    onBytes?.(plain.length);
    yield plain;
  }
  if (size !== record.size) throw damaged(`${size} bytes were read where ${record.size} were written`);
}
