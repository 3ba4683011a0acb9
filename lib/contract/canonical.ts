import canonicalize from 'canonicalize';
import { sha256 } from 'hash-wasm';

/** What JSON can hold. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** The one way to write a value as JSON: RFC 8785. Throws on what JSON cannot hold. */
export function canonicalJson(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError('nothing to write as JSON');
  return text;
}

/** SHA-256 (FIPS 180-4) over the canonical JSON in UTF-8, hexadecimal. */
export const hashOf = (value: unknown): Promise<string> => sha256(canonicalJson(value));
