import { z } from 'zod';
import { utf8 } from './bytes';
import { context, open, seal } from './gcm';
import { Current, type VaultStore } from './store';
import { VaultError } from './vaultError';

const KeptRecord = z.strictObject({ name: z.string(), id: z.string(), size: z.int().min(0), pieces: z.int().min(1) });
/** A named run of bytes. Names are as secret as what they name. */
export type KeptRecord = z.infer<typeof KeptRecord>;

const about = (vault: string, revision: string) => context('contents', vault, revision);

export const sealContents = (key: CryptoKey, vault: string, revision: string, records: readonly KeptRecord[]) =>
  seal(key, about(vault, revision), utf8(JSON.stringify(records)));

/** The list of records of the current version. Throws a VaultError where it is not whole. */
export async function openContents(key: CryptoKey, vault: string, { revision, contents }: Current): Promise<readonly KeptRecord[]> {
  const plain = await open(key, about(vault, revision), contents);
  if (plain === null) throw new VaultError('damaged', 'the list of what is kept is not as it was written');
  return z.array(KeptRecord).parse(JSON.parse(new TextDecoder().decode(plain)));
}

/** The version that holds, in the right form; null: there is no vault. */
export async function currentOf(store: VaultStore): Promise<Current | null> {
  const stored = await store.current();
  if (stored === null) return null;
  const parsed = Current.safeParse(stored);
  if (!parsed.success) throw new VaultError('damaged', 'what is stored is not a vault');
  return parsed.data;
}
