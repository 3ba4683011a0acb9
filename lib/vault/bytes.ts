/** Bytes of their own: a view of shared memory can't be encrypted. */
export type Bytes = Uint8Array<ArrayBuffer>;

export const randomBytes = (count: number): Bytes => crypto.getRandomValues(new Uint8Array(count));
export const utf8 = (text: string): Bytes => new TextEncoder().encode(text);
export const hex = (bytes: Bytes): string => Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
export const fromHex = (text: string): Bytes => Uint8Array.from(text.match(/../g) ?? [], (pair) => parseInt(pair, 16));
export const newId = (): string => hex(randomBytes(16));

/** SHA-256 (FIPS 180-4), hexadecimal. */
export const sha256 = async (bytes: Bytes): Promise<string> => hex(new Uint8Array(await crypto.subtle.digest('SHA-256', bytes)));
