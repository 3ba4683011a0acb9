import { randomBytes, utf8, type Bytes } from './bytes';

// AES-256-GCM by NIST SP 800-38D (2007): nonce of 96 bits, tag of 128. A nonce is drawn afresh for each message; with random nonces a key
// may seal 2^32 messages (8.3 there), which at pieces of 4 MiB is far more than any disk holds.

const nonceBytes = 12;

export const importKey = (raw: Bytes): Promise<CryptoKey> => crypto.subtle.importKey('raw', raw, 'AES-GCM', false, ['encrypt', 'decrypt']);

/** What a message is, where it belongs: authenticated with it and stored nowhere. */
export const context = (...parts: readonly (string | number)[]): Bytes => utf8(JSON.stringify(['implant-survivorship-workbench/vault', 1, ...parts]));

/** Ciphertext and tag. */
export async function encrypt(key: CryptoKey, nonce: Bytes, about: Bytes, plain: Bytes): Promise<Bytes> {
  return new Uint8Array(await crypto.subtle.encrypt({ name: 'AES-GCM', iv: nonce, additionalData: about, tagLength: 128 }, key, plain));
}

/** The plain text; null where message, context, nonce or key are not those it was sealed with. */
export async function decrypt(key: CryptoKey, nonce: Bytes, about: Bytes, sealed: Bytes): Promise<Bytes | null> {
  try {
    return new Uint8Array(await crypto.subtle.decrypt({ name: 'AES-GCM', iv: nonce, additionalData: about, tagLength: 128 }, key, sealed));
  } catch (error) {
    if (error instanceof DOMException && error.name === 'OperationError') return null;
    throw error;
  }
}

/** Nonce, ciphertext and tag, one after the other. */
export async function seal(key: CryptoKey, about: Bytes, plain: Bytes): Promise<Bytes> {
  const nonce = randomBytes(nonceBytes), sealed = await encrypt(key, nonce, about, plain), whole = new Uint8Array(nonceBytes + sealed.length);
  whole.set(nonce);
  whole.set(sealed, nonceBytes);
  return whole;
}

export const open = async (key: CryptoKey, about: Bytes, sealed: Bytes): Promise<Bytes | null> =>
  (sealed.length < nonceBytes ? null : decrypt(key, sealed.slice(0, nonceBytes), about, sealed.slice(nonceBytes)));
