import { utf8, type Bytes } from './bytes';

/** Rounds for a new passphrase: OWASP Password Storage Cheat Sheet (2023), PBKDF2 with HMAC-SHA-256. Each vault says its own, so that this can be raised. */
export const publishedIterations = 600_000;

/** PBKDF2-HMAC-SHA-256 (RFC 8018), `bits` long. */
export async function pbkdf2(password: Bytes, salt: Bytes, iterations: number, bits: number): Promise<Bytes> {
  const material = await crypto.subtle.importKey('raw', password, 'PBKDF2', false, ['deriveBits']);
  return new Uint8Array(await crypto.subtle.deriveBits({ name: 'PBKDF2', hash: 'SHA-256', salt, iterations }, material, bits));
}

/** The key that a passphrase gives. Normalised first (NFKC): the same letters may be typed in two ways on two keyboards. */
export const keyOfPassphrase = (passphrase: string, salt: Bytes, iterations: number): Promise<Bytes> =>
  pbkdf2(utf8(passphrase.normalize('NFKC')), salt, iterations, 256);
