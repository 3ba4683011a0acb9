import { createCipheriv, pbkdf2Sync, randomBytes as nodeBytes } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { fromHex, hex, utf8 } from '@/lib/vault/bytes';
import { keyOfPassphrase, pbkdf2, publishedIterations } from '@/lib/vault/deriveKey';
import { decrypt, encrypt, importKey } from '@/lib/vault/gcm';

describe('keys from passphrases', () => {
  // RFC 7914, section 11: the two vectors of PBKDF2-HMAC-SHA-256. From memory; the independent implementation of node:crypto agrees.
  it.each([
    { password: 'passwd', salt: 'salt', iterations: 1, key: '55ac046e56e3089fec1691c22544b605f94185216dde0465e68b9d57c20dacbc49ca9cccf179b645991664b39d77ef317c71b845b1e30bd509112041d3a19783' },
    { password: 'Password', salt: 'NaCl', iterations: 80_000, key: '4ddcd8f60b98be21830cee5ef22701f9641a4418d04c0414aeff08876b34ab56a1d425a1225833549adb841b51c9b3176a272bdebba1d078478f62b397f33c8d' },
  ])('$password, $iterations rounds', async ({ password, salt, iterations, key }) => {
    expect(hex(await pbkdf2(utf8(password), utf8(salt), iterations, 512))).toBe(key);
    expect(pbkdf2Sync(password, salt, iterations, 64, 'sha256').toString('hex')).toBe(key);
  });

  it('with as many rounds as are published (OWASP Password Storage Cheat Sheet, 2023: at least 600,000) is what node:crypto gives', async () => {
    expect(publishedIterations).toBeGreaterThanOrEqual(600_000);
    const salt = fromHex('000102030405060708090a0b0c0d0e0f');
    expect(hex(await keyOfPassphrase('four words that stand apart', salt, publishedIterations)))
      .toBe(pbkdf2Sync('four words that stand apart', salt, publishedIterations, 32, 'sha256').toString('hex'));
  });

  it('are the same for a letter typed in one or in two characters', async () => {
    const salt = new Uint8Array(16);
    expect(await keyOfPassphrase('Prüfstein', salt, 10)).toEqual(await keyOfPassphrase('Pru\u0308fstein', salt, 10));
  });
});

// McGrew & Viega, The Galois/Counter Mode of Operation (2005), appendix B, test cases 13 to 16 (256-bit keys). From memory; node:crypto agrees.
const key = 'feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308', nonce = 'cafebabefacedbaddecaf888';
const plain = 'd9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b391aafd255';
const cipher = '522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662898015ad';
const cases = [
  { number: 13, key: '00'.repeat(32), nonce: '00'.repeat(12), about: '', plain: '', sealed: '530f8afbc74536b9a963b4f1c4cb738b' },
  { number: 14, key: '00'.repeat(32), nonce: '00'.repeat(12), about: '', plain: '00'.repeat(16), sealed: 'cea7403d4d606b6e074ec5d3baf39d18d0d1c8a799996bf0265b98b5d48ab919' },
  { number: 15, key, nonce, about: '', plain, sealed: `${cipher}b094dac5d93471bdec1a502270e3cc6c` },
  { number: 16, key, nonce, about: 'feedfacedeadbeeffeedfacedeadbeefabaddad2', plain: plain.slice(0, 120), sealed: `${cipher.slice(0, 120)}76fc6ece0f4e1768cddf8853bb2d551b` },
];

const byNode = (k: string, n: string, about: string, text: string): string => {
  const machine = createCipheriv('aes-256-gcm', Buffer.from(k, 'hex'), Buffer.from(n, 'hex'));
  machine.setAAD(Buffer.from(about, 'hex'));
  return Buffer.concat([machine.update(Buffer.from(text, 'hex')), machine.final(), machine.getAuthTag()]).toString('hex');
};

describe('sealing', () => {
  it.each(cases)('test case $number', async ({ key: k, nonce: n, about, plain: text, sealed }) => {
    const imported = await importKey(fromHex(k));
    expect(hex(await encrypt(imported, fromHex(n), fromHex(about), fromHex(text)))).toBe(sealed);
    expect(hex((await decrypt(imported, fromHex(n), fromHex(about), fromHex(sealed)))!)).toBe(text);
    expect(byNode(k, n, about, text)).toBe(sealed);
  });

  it('is what node:crypto makes of a long message too', async () => {
    const k = nodeBytes(32).toString('hex'), n = nodeBytes(12).toString('hex'), text = nodeBytes(100_003).toString('hex');
    expect(hex(await encrypt(await importKey(fromHex(k)), fromHex(n), utf8('where'), fromHex(text)))).toBe(byNode(k, n, Buffer.from('where').toString('hex'), text));
  });
});
