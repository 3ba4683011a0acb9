import { createSHA256 } from 'hash-wasm';
import type { ExtractFile } from '../../intake/extractFile';
import { nextTask } from '../nextTask';

const pieceBytes = 4 * 1024 * 1024; // read at once
const turnBytes = 256 * 1024; // less than a millisecond: meanwhile the engine answers, and is asked again

/**
 * SHA-256, hexadecimal, over the bytes of the table files one after the other in the order of their names without folder, the same for
 * a folder and for a zip of it: `cat components.csv deaths.csv … | sha256sum`. Files of one name, as parts of tables have, follow the order of
 * their folders. Files are read in pieces.
 */
export async function fingerprint(files: readonly ExtractFile[], signal: AbortSignal): Promise<string> {
  const hash = await createSHA256();
  const named = files.map((file) => ({ file, name: file.name.slice(file.name.lastIndexOf('/') + 1) }));
  for (const { file: { content } } of named.sort((a, b) => inOrder(a.name, b.name) || inOrder(a.file.name, b.file.name))) {
    for (let from = 0; from < content.size; from += pieceBytes) {
      const piece = new Uint8Array(await content.slice(from, from + pieceBytes).arrayBuffer());
      for (let at = 0; at < piece.length; at += turnBytes) {
        hash.update(piece.subarray(at, at + turnBytes));
        await nextTask();
      }
      signal.throwIfAborted();
    }
  }
  return hash.digest('hex');
}

const inOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
