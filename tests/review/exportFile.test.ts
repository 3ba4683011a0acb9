import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { canonicalJson, hashOf } from '@/lib/contract/canonical';
import type { Entry } from '@/lib/review/entry';
import { exportFile, readExport } from '@/lib/review/exportFile';
import { headsOf, inOrder, type History } from '@/lib/review/graph';
import { compared, union } from '@/lib/review/merge';
import { verified } from '@/lib/review/verify';
import { beforeCommittee, check, evidence, opened, state, written } from './story';

let history: History, text: string;
beforeAll(async () => {
  history = await beforeCommittee();
  text = await exportFile([history]);
});

interface File { readonly content: { readonly format: string; readonly version: number; readonly cases: readonly { readonly case: string; readonly heads: readonly string[]; readonly count: number; readonly entries: readonly Entry[] }[] }; readonly sha256: string }
const parsed = () => JSON.parse(text) as File;
const problemsOf = async (file: string): Promise<string> => {
  const read = await readExport(file);
  return read.status === 'ok' ? 'taken' : read.problems.join('\n');
};
/** The file of somebody who changes the entries and writes the hash of the file anew. */
async function forged(change: (entries: Entry[]) => unknown[]): Promise<string> {
  const { content } = parsed(), [only] = content.cases, entries = change([...only!.entries]);
  const changed = { ...content, cases: [{ ...only, entries, count: entries.length }] };
  return canonicalJson({ content: changed, sha256: await hashOf(changed) });
}

it('a file is read as it was written', async () => {
  const read = await readExport(text);
  expect(read.status === 'ok' && inOrder(read.histories[0]!)).toEqual(history);
  expect(await exportFile(read.status === 'ok' ? read.histories : [])).toBe(text);
});

describe('a changed file is refused', () => {
  it('whatever single character of it is changed', async () => {
    await fc.assert(fc.asyncProperty(fc.nat(text.length - 1), fc.string({ minLength: 1, maxLength: 1, unit: 'binary' }), async (at, other) => {
      fc.pre(text[at] !== other);
      expect(await problemsOf(text.slice(0, at) + other + text.slice(at + 1))).not.toBe('taken');
    }), { numRuns: 400 });
  });

  it('wherever it is cut or a piece is put in', async () => {
    await fc.assert(fc.asyncProperty(fc.nat(text.length - 1), fc.string({ maxLength: 3 }), async (at, piece) => {
      expect(await problemsOf(text.slice(0, at))).toContain('cut short');
      if (piece.trim() !== '') expect(await problemsOf(text.slice(0, at) + piece + text.slice(at))).not.toBe('taken');
    }), { numRuns: 150 });
  });

  it.each([
    { what: 'a reason was rewritten', change: (entries: Entry[]) => entries.map((entry, i) => (i === 2 ? { ...entry, body: check('data', 'explains') } : entry)), says: 'Entry 3 of 11: the content must have the hash that is its id' },
    { what: 'an entry in the middle was taken out', change: (entries: Entry[]) => entries.filter((_, i) => i !== 4), says: 'Entry 5 of 10: the entry that it was written on must be there' },
    { what: 'an entry stands twice', change: (entries: Entry[]) => [...entries, entries[3]!], says: 'Entry 12 of 12: an entry stands once (the same as entry 4)' },
    { what: 'a field was added', change: (entries: Entry[]) => entries.map((entry, i) => (i === 1 ? { ...entry, seen: true } : entry)), says: 'Entry 2 of 11: Unrecognized key' },
    { what: 'the newest entry was taken out and the heads left', change: (entries: Entry[]) => entries.slice(0, -1), says: 'where the file says' },
  ])('$what, even if the hash of the file was made anew', async ({ change, says }) => {
    const problems = await problemsOf(await forged(change));
    expect(problems).toContain(says);
    expect(problems).not.toContain(evidence.subject.id);
  });

  it('evidence was changed and its entry and file were hashed anew', async () => {
    const changed = await forged((entries) => entries.map((entry, i) => (i === 0 ? { ...entry, body: { ...entry.body, evidence: { ...evidence, look: 1 } } } as Entry : entry)));
    expect(await problemsOf(changed)).toContain('Entry 1 of 11: the evidence must have its hash');
  });

  it('a rule was broken by somebody who hashed everything anew', async () => {
    const first = await opened(), draft = { case: first[0]!.case, parents: headsOf(first), at: '2026-03-02T09:01:00.000Z', role: 'chair', corrects: null, body: state('decided') };
    const result = await verified([...first, { ...draft, id: await hashOf(draft) }]);
    expect(result).toMatchObject({ status: 'damaged', damage: [{ entry: 2, rule: expect.stringContaining('“decided” does not follow “asked”') as string }] });
  });

  it.each(['', '[]', '{}', 'null', '{"content":{},"sha256":"x"}', '[['.repeat(20_000), '{"content":'.repeat(20_000)])('what is no case file: %.20s', async (other) => {
    expect(await problemsOf(other)).not.toBe('taken');
  });

  it('the same in another layout', async () => { expect(await problemsOf(JSON.stringify(parsed(), null, 1))).toContain('another way'); });
});

describe('copies are put together', () => {
  const branches = async () => {
    const base = await opened();
    return Promise.all(['chair', 'statistician', 'surgeon'].map((role, i) =>
      written(base, Array.from({ length: i + 1 }, () => ({ kind: 'note' as const, words: `seen by the ${role}` })), { role, from: 3 + i })));
  };
  const ids = (entries: History) => inOrder(entries).map(({ id }) => id);

  it('in whatever order, however often: the history is the same', async () => {
    const all = await branches(), [a, b, c] = all as [History, History, History];
    const whole = ids(union(union(a, b), c));
    await fc.assert(fc.asyncProperty(fc.shuffledSubarray([...all, ...all], { minLength: 6 }), fc.infiniteStream(fc.nat()), async (copies, random) => {
      const together = copies.reduce<History>((mine, theirs) => union(mine, theirs), []);
      const shuffled = [...together].map((entry) => ({ entry, key: random.next().value as number })).sort((x, y) => x.key - y.key).map(({ entry }) => entry);
      expect(ids(shuffled)).toEqual(whole);
      expect((await verified(shuffled)).status).toBe('whole');
      expect(await exportFile([shuffled])).toBe(await exportFile([together]));
    }), { numRuns: 30 });
    expect(ids(union(a, union(b, c)))).toEqual(whole);
    expect(ids(union(b, a))).toEqual(ids(union(a, b)));
    expect(ids(union(a, a))).toEqual(ids(a));
  });

  it('and what each lacks is counted', async () => {
    const [a, , c] = await branches();
    expect(compared(a!, c!)).toMatchObject({ lacking: 1 });
    expect(compared(a!, c!).added).toHaveLength(3);
    expect(compared(c!, c!.slice(0, 2))).toEqual({ added: [], lacking: 2 });
  });

  it('a copy without its newest entries is whole in itself, and known as older where they are', async () => {
    const older = history.slice(0, 6);
    const read = await readExport(await exportFile([older]));
    expect(read.status).toBe('ok');
    expect(compared(history, older)).toEqual({ added: [], lacking: 5 });
  });
});
