import { z } from 'zod';
import type { Bytes } from './bytes';

const bytes = z.custom<Bytes>((value) => value instanceof Uint8Array);

/** The version of a vault that holds. What it does not name is left over from a write that did not end. */
export const Current = z.strictObject({
  revision: z.string(), // drawn anew by each write, which says which one it replaces
  header: z.unknown(),
  contents: bytes, // the sealed list of records
  records: z.array(z.string()), // their ids, which say nothing
});
export type Current = z.infer<typeof Current>;

/** Where a vault lies. Knows nothing of what is in it. */
export interface VaultStore {
  /** As it was found; null: there is none. */
  current(): Promise<unknown>;
  piece(record: string, number: number): Promise<Bytes | null>;
  /** How many pieces of a record there are. */
  count(record: string): Promise<number>;
  putPiece(record: string, number: number, sealed: Bytes): Promise<void>;
  /** Makes a version current and lets go of the pieces it does not name: all of it or nothing. False, and nothing: another was current than said. */
  commit(next: Current, replaces: string | null): Promise<boolean>;
  /** Lets go of the pieces that the current version does not name. */
  clean(): Promise<void>;
}
