import { z } from 'zod';
import { fromHex, hex, randomBytes, sha256, utf8, type Bytes } from './bytes';
import { keyOfPassphrase } from './deriveKey';
import { context, importKey, open, seal } from './gcm';

const hexOf = (bytes: number) => z.string().regex(new RegExp(`^[0-9a-f]{${2 * bytes}}$`));

/** How the key of a vault is had from the passphrase. Plain, and nothing in it is secret. */
export const Header = z.strictObject({
  vault: z.literal(1), // version of this form
  id: hexOf(16),
  derivation: z.literal('PBKDF2-HMAC-SHA-256'),
  iterations: z.int().min(1).max(20_000_000), // more would only be somebody's way to make the page hang
  salt: hexOf(16),
  wrappedKey: hexOf(12 + 32 + 16), // the key of the data, sealed with that of the passphrase: nonce, ciphertext, tag
  checksum: hexOf(32), // SHA-256 of the rest
});
export type Header = z.infer<typeof Header>;

type Rest = Omit<Header, 'wrappedKey' | 'checksum'>;

const wrapping = ({ vault, id, derivation, iterations, salt }: Rest): Bytes => context('key', vault, id, derivation, iterations, salt);
const checksumOf = (header: Omit<Header, 'checksum'>): Promise<string> => sha256(utf8(`${new TextDecoder().decode(wrapping(header))}${header.wrappedKey}`));

/** A header for a data key, with a salt of its own. The whole of it is authenticated by the wrapped key. */
export async function makeHeader(id: string, dataKey: Bytes, passphrase: string, iterations: number): Promise<Header> {
  const salt = randomBytes(16), rest: Rest = { vault: 1, id, derivation: 'PBKDF2-HMAC-SHA-256', iterations, salt: hex(salt) };
  const key = await importKey(await keyOfPassphrase(passphrase, salt, iterations));
  const unchecked = { ...rest, wrappedKey: hex(await seal(key, wrapping(rest), dataKey)) };
  return { ...unchecked, checksum: await checksumOf(unchecked) };
}

export type Opened = { readonly status: 'opened'; readonly header: Header; readonly dataKey: Bytes } | { readonly status: 'wrongPassphrase' } | { readonly status: 'damaged' };

/**
 * The data key. The checksum tells a damaged header from a wrong passphrase; a header that somebody changed together with its checksum
 * can't be told from a wrong passphrase, and is opened by none.
 */
export async function openHeader(stored: unknown, passphrase: string): Promise<Opened> {
  const parsed = Header.safeParse(stored);
  if (!parsed.success || await checksumOf(parsed.data) !== parsed.data.checksum) return { status: 'damaged' };
  const header = parsed.data, key = await importKey(await keyOfPassphrase(passphrase, fromHex(header.salt), header.iterations));
  const dataKey = await open(key, wrapping(header), fromHex(header.wrappedKey));
  return dataKey === null ? { status: 'wrongPassphrase' } : { status: 'opened', header, dataKey };
}
