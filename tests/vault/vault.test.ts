import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Bytes } from '@/lib/vault/bytes';
import { sha256, utf8 } from '@/lib/vault/bytes';
import { publishedIterations } from '@/lib/vault/deriveKey';
import { Header } from '@/lib/vault/header';
import { noWayBack, passphraseProblem } from '@/lib/vault/passphrase';
import type { Current } from '@/lib/vault/store';
import { changePassphrase, newVault, unlock, type Vault } from '@/lib/vault/vault';
import { keyOf, memoryStore, type MemoryStore } from './memoryStore';

const passphrase = 'harbour lantern seven oxen';
const few = 1000; // rounds, so that many vaults can be made
const everything = () => true, nothing: (name: string) => boolean = () => false;
const bytesOf = async (blob: Blob | null): Promise<Bytes | null> => (blob === null ? null : new Uint8Array(await blob.arrayBuffer()));
const keep = (vault: Vault, files: Readonly<Record<string, Bytes | string>>, pieceBytes = 16, drop = nothing) =>
  vault.write({ put: Object.entries(files).map(([name, content]) => ({ name, content: new Blob([content]) })), drop }, { pieceBytes });
const unlocked = async (store: MemoryStore, words = passphrase): Promise<Vault> => {
  const result = await unlock(store, words);
  if (result.status !== 'unlocked') throw new Error(result.status);
  return result.vault;
};

async function kept(files: Readonly<Record<string, Bytes | string>>, pieceBytes = 16): Promise<{ readonly store: MemoryStore; readonly vault: Vault }> {
  const store = memoryStore(), vault = await newVault(store, passphrase, few);
  await keep(vault, files, pieceBytes);
  return { store, vault };
}

describe('what is kept', () => {
  it('comes back byte for byte after the tab was closed, whatever its size', () => fc.assert(fc.asyncProperty(
    fc.dictionary(fc.string({ unit: 'grapheme', minLength: 1 }), fc.uint8Array({ maxLength: 100 })), fc.integer({ min: 1, max: 40 }), async (files, pieceBytes) => {
      const copies = Object.fromEntries(Object.entries(files).map(([name, content]) => [name, Uint8Array.from(content)]));
      const { store } = await kept(copies, pieceBytes), vault = await unlocked(store);
      expect((await vault.records()).map(({ name }) => name).sort()).toEqual(Object.keys(files).sort());
      for (const [name, content] of Object.entries(copies)) expect(await bytesOf(await vault.read(name))).toEqual(content);
    },
  ), { numRuns: 50 }));

  it('is found nowhere in what is stored, names neither', async () => {
    const { store } = await kept({ 'St Elsewhere.csv': 'procedure P-000123 of patient Q-77'.repeat(9) }, 64);
    const stored = Buffer.concat([...store.held.pieces.values(), store.held.current!.contents, utf8(JSON.stringify(store.held.current!.header)), utf8([...store.held.pieces.keys()].join())]).toString('latin1');
    for (const text of ['P-000123', 'Q-77', 'Elsewhere', passphrase]) expect(stored).not.toContain(text);
  });

  it('is sealed differently each time', async () => {
    const { store } = await kept({ a: 'the same', b: 'the same' });
    const [first, second] = [...store.held.pieces.values()];
    expect(first).not.toEqual(second);
    expect(new Set([...store.held.pieces.values()].map((piece) => piece.slice(0, 12).join())).size).toBe(2);
  });

  it('says in its header how the key is had, as published unless told otherwise', async () => {
    const store = memoryStore();
    await keep(await newVault(store, passphrase), { a: 'b' });
    expect(Header.parse(store.held.current!.header)).toMatchObject({ vault: 1, derivation: 'PBKDF2-HMAC-SHA-256', iterations: publishedIterations });
  });

  it('is not there before it is first written to', async () => {
    const store = memoryStore();
    await newVault(store, passphrase, few);
    expect(store.held).toMatchObject({ current: null, pieces: new Map() });
    expect(await unlock(store, passphrase)).toEqual({ status: 'none' });
  });
});

describe('a passphrase', () => {
  it.each([
    { words: 'lantern', says: 'The passphrase has 7 characters; it needs at least 15.' },
    { words: 'ababababababababab', says: 'The passphrase repeats the same few characters.' },
    { words: '🙂🙂🙂🙂🙂🙂🙂🙂', says: 'The passphrase has 8 characters; it needs at least 15.' },
    { words: passphrase, says: null },
    { words: 'all small letters', says: null }, // NIST SP 800-63B-4 (2025): no rule on kinds of characters
  ])('“$words”', ({ words, says }) => { expect(passphraseProblem(words)).toBe(says); });

  it('that is forgotten is said to be lost', () => { expect(noWayBack).toContain('cannot be recovered'); });

  it('that is wrong is told apart from damage', async () => {
    const { store } = await kept({ a: 'b' });
    expect(await unlock(store, `${passphrase}!`)).toEqual({ status: 'wrongPassphrase' });
    const { current } = store.held;
    for (const field of ['id', 'salt', 'wrappedKey', 'checksum'] as const) {
      const header = Header.parse(current!.header), text = header[field];
      store.held.current = { ...current!, header: { ...header, [field]: `${text.startsWith('0') ? '1' : '0'}${text.slice(1)}` } };
      expect(await unlock(store, passphrase), field).toEqual({ status: 'damaged' });
    }
    for (const header of [null, 'x', {}, { ...Header.parse(current!.header), iterations: 2 }, { ...Header.parse(current!.header), iterations: 1e12 }]) {
      store.held.current = { ...current!, header };
      expect(await unlock(store, passphrase)).toEqual({ status: 'damaged' });
    }
  });

  it('opens no header that somebody weakened, not even with its checksum made anew', async () => {
    const { store } = await kept({ a: 'b' });
    const weak = { ...Header.parse(store.held.current!.header), iterations: 1 };
    const fields = JSON.stringify(['implant-survivorship-workbench/vault', 1, 'key', 1, weak.id, weak.derivation, 1, weak.salt]);
    store.held.current = { ...store.held.current!, header: { ...weak, checksum: await sha256(utf8(`${fields}${weak.wrappedKey}`)) } };
    expect(await unlock(store, passphrase)).toEqual({ status: 'wrongPassphrase' });
  });

  it('is changed without writing what is kept anew', async () => {
    const { store, vault } = await kept({ a: 'as it was' });
    const before = new Map(store.held.pieces);
    expect(await changePassphrase(store, 'something else altogether', 'a new one of many words', few)).toBe('wrongPassphrase');
    expect(await changePassphrase(store, passphrase, 'a new one of many words', 2 * few)).toBe('changed');
    expect(store.held.pieces).toEqual(before);
    expect(Header.parse(store.held.current!.header).iterations).toBe(2 * few);
    expect(await unlock(store, passphrase)).toEqual({ status: 'wrongPassphrase' });
    expect(await (await (await unlocked(store, 'a new one of many words')).read('a'))!.text()).toBe('as it was');
    expect(await (await vault.read('a'))!.text(), 'a tab that was unlocked stays so').toBe('as it was');
  });
});

describe('damage is found', () => {
  let start: MemoryStore['held'], vault: Vault, store: MemoryStore, ids: readonly string[];
  const content = Uint8Array.from({ length: 75 }, (_, i) => i); // 5 pieces of 16, the last of 11
  beforeAll(async () => {
    ({ store, vault } = await kept({ first: content, second: content }));
    start = { ...store.held, pieces: new Map(store.held.pieces) };
    ids = (await vault.records()).map(({ id }) => id);
  });
  const piece = fc.record({ record: fc.integer({ min: 0, max: 1 }), number: fc.integer({ min: 0, max: 4 }) }).map(({ record, number }) => ({ record, number, key: () => keyOf(ids[record]!, number) }));
  const restore = () => {
    store.held.current = start.current;
    store.held.pieces.clear();
    for (const [key, bytes] of start.pieces) store.held.pieces.set(key, bytes);
  };
  const refused = async (record: number) => {
    await expect(vault.read(record === 0 ? 'first' : 'second')).rejects.toThrow(/(is not as it was written|is missing|pieces are stored where)/);
  };

  it('a flipped bit anywhere in a piece', () => fc.assert(fc.asyncProperty(piece, fc.nat(), fc.integer({ min: 0, max: 7 }), async ({ record, key }, at, bit) => {
    restore();
    const bytes = Uint8Array.from(start.pieces.get(key())!);
    bytes[at % bytes.length]! ^= 1 << bit;
    store.held.pieces.set(key(), bytes);
    await refused(record);
  })));

  it('pieces that changed places, within a record or across', () => fc.assert(fc.asyncProperty(piece, piece, async (a, b) => {
    fc.pre(a.key() !== b.key());
    restore();
    store.held.pieces.set(a.key(), start.pieces.get(b.key())!);
    store.held.pieces.set(b.key(), start.pieces.get(a.key())!);
    await refused(a.record);
    await refused(b.record);
  })));

  it('a piece that is lost, cut short, or stands twice', () => fc.assert(fc.asyncProperty(piece, piece, fc.nat(), async (a, b, at) => {
    restore();
    store.held.pieces.delete(a.key());
    await refused(a.record);
    const bytes = start.pieces.get(a.key())!;
    store.held.pieces.set(a.key(), bytes.slice(0, at % bytes.length));
    await refused(a.record);
    restore();
    store.held.pieces.set(keyOf(ids[a.record]!, 5), bytes);
    await refused(a.record);
    restore();
    if (a.key() !== b.key()) {
      store.held.pieces.set(b.key(), bytes);
      await refused(b.record);
    }
  })));

  it('a list of records that is changed, or that of an earlier version', async () => {
    restore();
    const earlier = store.held.current!;
    const contents = Uint8Array.from(earlier.contents);
    contents[20]! ^= 1;
    store.held.current = { ...earlier, contents };
    await expect(vault.records()).rejects.toThrow('the list of what is kept is not as it was written');
    store.held.current = earlier;
    await keep(vault, { third: 'new' });
    store.held.current = { ...store.held.current, contents: earlier.contents };
    await expect(unlock(store, passphrase)).rejects.toThrow('the list of what is kept is not as it was written');
    store.held.current = { sun: true } as unknown as Current;
    await expect(unlock(store, passphrase)).rejects.toThrow('what is stored is not a vault');
  });
});

describe('writing', () => {
  it('that ends on the way, on a full disk or by the person, leaves what was there', async () => {
    const { store, vault } = await kept({ extract: 'the old one, whole', cases: 'two' });
    const before = { current: store.held.current, pieces: new Map(store.held.pieces) };
    for (let left = 0; left < 5; ++left) {
      store.held.failAfter = left;
      await expect(keep(vault, { extract: 'the new one, '.repeat(10) })).rejects.toThrow('full');
      expect(store.held).toMatchObject(before);
    }
    store.held.failAfter = Infinity;
    const ended = new AbortController();
    await expect(vault.write({ put: [{ name: 'extract', content: new Blob(['x'.repeat(100)]) }], drop: nothing }, {
      pieceBytes: 16, signal: ended.signal, onBytes: () => { ended.abort(new Error('enough')); },
    })).rejects.toThrow('enough');
    expect(store.held).toMatchObject(before);
    expect(await (await vault.read('extract'))!.text()).toBe('the old one, whole');
  });

  it('that was killed leaves pieces which the next write sweeps out', async () => {
    const { store, vault } = await kept({ a: 'old' });
    store.held.pieces.set(keyOf('left-over', 0), utf8('half'));
    await keep(vault, { a: 'new' });
    expect([...store.held.pieces.keys()]).toEqual([keyOf((await vault.records())[0]!.id, 0)]);
  });

  it('replaces, adds and drops by name in one go', async () => {
    const { store, vault } = await kept({ 'extract/a': '1', 'extract/b': '2', cases: '3' });
    await keep(vault, { 'extract/c': '4' }, 16, (name: string) => name.startsWith('extract/'));
    expect((await vault.records()).map(({ name }) => name)).toEqual(['cases', 'extract/c']);
    expect(await vault.read('extract/a')).toBeNull();
    expect(store.held.pieces.size).toBe(2);
    await keep(vault, {}, 16, everything);
    expect(store.held.pieces.size).toBe(0);
  });

  it('over what another tab wrote in between is refused', async () => {
    const { store, vault } = await kept({ a: 'old' });
    const other = await unlocked(store), putPiece = store.putPiece.bind(store);
    store.putPiece = async (...piece) => {
      store.putPiece = putPiece;
      await keep(other, { b: 'from the other tab' });
      await putPiece(...piece);
    };
    await expect(keep(vault, { a: 'new' })).rejects.toThrow('removed or replaced in another tab');
    expect((await vault.records()).map(({ name }) => name)).toEqual(['a', 'b']);
    expect(await (await vault.read('a'))!.text()).toBe('old');
  });

  it('into a vault that was removed, or made anew, in another tab is refused', async () => {
    const { store, vault } = await kept({ a: 'old' });
    store.held.current = null;
    await expect(keep(vault, { a: 'new' })).rejects.toThrow('removed or replaced in another tab');
    await keep(await newVault(store, 'quite another passphrase', few), { z: 'other' });
    await expect(vault.read('a')).rejects.toThrow('removed or replaced in another tab');
  });
});
