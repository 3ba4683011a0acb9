import { describe, expect, it } from 'vitest';
import type { Body } from '@/lib/review/entry';
import { caseFile } from '@/lib/review/fold';
import { inOrder, type History } from '@/lib/review/graph';
import { union } from '@/lib/review/merge';
import { verified } from '@/lib/review/verify';
import { nextEntry } from '@/lib/review/write';
import { beforeCommittee, decision, nextLook, state, written } from './story';

/** Two people go on from the same history, each in a browser of their own, and put their files together. */
async function apart(mine: readonly Body[], theirs: readonly Body[]): Promise<History> {
  const base = await beforeCommittee();
  return inOrder(union(await written(base, mine, { role: 'chair' }), await written(base, theirs, { role: 'department head', from: 40 })));
}

describe('what two people wrote apart from each other', () => {
  it('becomes one history where it does not compete', async () => {
    const history = await apart([{ kind: 'note', words: 'asked the unit by telephone' }, decision('watch')], [{ kind: 'dissent', words: 'would restrict use' }, nextLook('2027-01-15')]);
    const file = caseFile(history);
    expect(file.heads).toHaveLength(2);
    expect(file.conflicts).toEqual([]);
    expect([file.decision?.body.action, file.nextLook?.body.date]).toEqual(['watch', '2027-01-15']);
    const joined = caseFile(await written(history, [{ kind: 'note', words: 'both files seen' }]));
    expect(joined.heads).toHaveLength(1);
    expect(joined.history.at(-1)?.parents).toHaveLength(2);
  });

  it.each([
    { topic: 'decision', mine: [decision('watch')], theirs: [decision('restrictUse')] },
    { topic: 'state', mine: [state('checking')], theirs: [state('withUnit')] },
    { topic: 'nextLook', mine: [nextLook('2026-09-01')], theirs: [nextLook('2027-03-01')] },
  ] as const)('is a conflict on the $topic until a merge says which stands, and why', async ({ topic, mine, theirs }) => {
    const history = await apart(mine, theirs), file = caseFile(history);
    expect(file.conflicts.map((conflict) => conflict.topic)).toEqual([topic]);
    expect(file.conflicts[0]?.between.map(({ role }) => role)).toEqual(['chair', 'department head']);
    await expect(written(history, [{ kind: 'note', words: 'and now?' }])).rejects.toThrow('settled first');
    const stands = file.conflicts[0]!.between[1]!.id;
    const settled = await written(history, [{ kind: 'merged', settles: [{ topic, stands, why: 'agreed by both' }] }]);
    const after = caseFile(settled);
    expect(after.conflicts).toEqual([]);
    expect({ state: after.state, decision: after.decision?.id, nextLook: after.nextLook?.id }[topic]).toBe(topic === 'state' ? 'withUnit' : stands);
    expect(after.history).toHaveLength(history.length + 1); // both are kept
    expect((await verified(settled)).status).toBe('whole');
  });

  it('is no conflict where both say the same', async () => {
    expect(caseFile(await apart([nextLook('2027-03-01')], [nextLook('2027-03-01')])).conflicts).toEqual([]);
  });

  it('a merge names one of the entries that compete, settles all of them, and needs two histories', async () => {
    const history = await apart([decision('watch'), nextLook('2026-09-01')], [decision('report'), nextLook('2027-09-01')]);
    const { conflicts } = caseFile(history), [first, second] = conflicts;
    const settle = (stands: string, topic = first!.topic): Body => ({ kind: 'merged', settles: [{ topic, stands, why: 'agreed' }] });
    await expect(written(history, [settle(first!.between[0]!.id)])).rejects.toThrow('not settled');
    await expect(written(history, [{ kind: 'merged', settles: [{ topic: first!.topic, stands: history[0]!.id, why: 'x' }, { topic: second!.topic, stands: second!.between[0]!.id, why: 'x' }] }])).rejects.toThrow('one of the entries that compete');
    await expect(written(await beforeCommittee(), [settle('0'.repeat(64))])).rejects.toThrow('two histories');
  });

  it('a person who did not see the merge and decides again makes a new conflict', async () => {
    const base = await beforeCommittee(), mine = await written(base, [decision('watch')]), theirs = await written(base, [decision('restrictUse')], { from: 40 });
    const both = inOrder(union(mine, theirs)), { conflicts } = caseFile(both);
    const merged = await written(both, [{ kind: 'merged', settles: [{ topic: 'decision', stands: conflicts[0]!.between[0]!.id, why: 'agreed' }] }], { from: 60 });
    const later = await written(theirs, [decision('report')], { from: 80 });
    const again = caseFile(union(merged, later));
    expect(again.conflicts[0]?.between.map(({ body }) => (body.kind === 'decision' ? body.action : ''))).toEqual(['watch', 'report']);
  });
});

it('what was corrected stays in the history and no longer counts', async () => {
  const history = await beforeCommittee(), wrong = caseFile(history).replies[0]!;
  const corrected = [...history, await nextEntry(wrong.case, history, { kind: 'reply', words: 'one revision was of the other side' }, { role: 'chair', at: new Date('2026-03-05T10:00:00Z'), corrects: wrong.id })];
  const file = caseFile(corrected);
  expect(file.replies.map(({ body }) => body.words)).toEqual(['one revision was of the other side']);
  expect(file.history).toHaveLength(history.length + 1);
  expect((await verified(corrected)).status).toBe('whole');
});
