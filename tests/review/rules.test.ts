import { describe, expect, it } from 'vitest';
import type { Body } from '@/lib/review/entry';
import { caseFile } from '@/lib/review/fold';
import { frozenEvidence } from '@/lib/review/seal';
import { nextStates, states } from '@/lib/review/states';
import { allChecks, beforeCommittee, check, decision, evidence, letter, nextLook, opened, reply, state, written } from './story';

describe('data errors are looked at first and practice last', () => {
  it.each([
    { step: 'caseMix', missing: 'Data quality' }, { step: 'concentration', missing: 'Data quality' }, { step: 'implant', missing: 'Data quality' }, { step: 'practice', missing: 'Data quality' },
  ] as const)('$step waits for data quality', async ({ step, missing }) => {
    await expect(written(await opened(), [state('checking'), check(step)])).rejects.toThrow(missing);
  });

  it('each waits for the one before it, and one that is set aside with a reason counts', async () => {
    await expect(written(await opened(), [check('data'), check('concentration')])).rejects.toThrow('“Concentration” comes after “Case mix”');
    const history = await written(await opened(), [check('data'), check('caseMix', 'setAside'), check('concentration')]);
    expect(caseFile(history).checks.map(({ records }) => records.length)).toEqual([1, 1, 1, 0, 0]);
  });

  it('a check can be recorded again; both records stay', async () => {
    const history = await written(await opened(), [check('data', 'cannotTell'), check('data', 'explains')]);
    expect(caseFile(history).checks[0]?.records.map(({ body }) => body.result)).toEqual(['cannotTell', 'explains']);
  });

  it('a decision waits for all of them', async () => {
    await expect(written(await opened(), [...allChecks.slice(0, 4), decision('noAction')])).rejects.toThrow('“Practice” is neither recorded nor set aside');
  });
});

describe('the unit is heard before something is decided that weighs on it', () => {
  const cases: readonly { readonly what: string; readonly before: readonly Body[]; readonly action: 'restrictUse' | 'report' | 'watch'; readonly allowed: boolean }[] = [
    { what: 'no letter was sent', before: [], action: 'restrictUse', allowed: false },
    { what: 'no letter was sent, to the authority', before: [], action: 'report', allowed: false },
    { what: 'the date for reply has not passed', before: [letter], action: 'restrictUse', allowed: false },
    { what: 'the unit replied', before: [letter, reply], action: 'restrictUse', allowed: true },
    { what: 'the date for reply has passed', before: [{ kind: 'letterSent', to: 'head of department', replyBy: '2026-03-03', words: 'letter' }], action: 'restrictUse', allowed: true },
    { what: 'only watching is decided', before: [], action: 'watch', allowed: true },
  ];
  it.each(cases)('$what', async ({ before, action, allowed }) => {
    const history = await written(await opened(), [...allChecks, ...before]);
    const deciding = written(history, [decision(action)], { from: 2 * 24 * 60 }); // two days later
    await (allowed ? expect(deciding).resolves.toHaveLength(history.length + 1) : expect(deciding).rejects.toThrow('right of reply'));
  });

  it('a component has no unit to be heard', async () => {
    const component = { ...evidence, subject: { kind: 'component' as const, id: 'G-KEE-01', label: 'glenoid component G-KEE-01' } };
    await expect(written(await opened(component), [...allChecks, decision('restrictUse')])).resolves.toHaveLength(7);
  });
});

describe('states', () => {
  it('can all be reached from the first, and each can be left again', () => {
    const reached = new Set<string>(['asked']);
    for (const from of reached) for (const to of nextStates[from as keyof typeof nextStates]) reached.add(to);
    expect([...reached].sort()).toEqual([...states].sort());
    for (const from of states) expect(nextStates[from].length, from).toBeGreaterThan(0);
  });

  it('what does not follow is refused with what may', async () => {
    await expect(written(await opened(), [state('decided')])).rejects.toThrow('“decided” does not follow “asked”; what may follow is “being checked” or “closed”');
  });

  it.each([
    { to: 'withUnit', before: [state('checking')], needs: 'needs a letter' },
    { to: 'decided', before: [state('checking'), state('committee')], needs: 'needs a decision' },
    { to: 'watched', before: [state('checking'), ...allChecks, state('committee'), decision('watch'), state('decided')], needs: 'needs the date of the next look' },
  ] as const)('$to $needs', async ({ to, before, needs }) => {
    await expect(written(await opened(), [...before, state(to)])).rejects.toThrow(needs);
  });

  it('the whole way to a question that is closed and watched, and taken up again', async () => {
    const history = await written(await beforeCommittee(), [decision('watch'), state('decided'), nextLook('2027-03-01'), state('watched'), state('checking')]);
    const file = caseFile(history);
    expect([file.state, file.decision?.body.action, file.nextLook?.body.date, file.history.length]).toEqual(['checking', 'watch', '2027-03-01', 16]);
  });

  it('a closed question takes no checks, letters or decisions until it is taken up again, but a late dissent', async () => {
    const closed = await written(await opened(), [state('closed')]);
    for (const body of [check('data'), letter, decision('noAction')]) await expect(written(closed, [body])).rejects.toThrow('closed');
    await expect(written(closed, [{ kind: 'dissent', words: 'closed too early' }])).resolves.toHaveLength(3);
  });
});

it.each([
  { what: 'a second opening', body: 'opened', rule: 'opened once' },
  { what: 'a reply without a letter', body: reply, rule: 'none was sent' },
  { what: 'a next look today', body: nextLook('2026-03-02'), rule: 'after the day' },
  { what: 'a date for reply that has passed', body: { ...letter, replyBy: '2026-03-01' } as Body, rule: 'after the day' },
] as const)('$what is refused', async ({ body, rule }) => {
  await expect(written(await opened(), [body === 'opened' ? { kind: 'opened', ...await frozenEvidence(evidence) } : body])).rejects.toThrow(rule);
});

it.each([
  { what: 'empty words', body: { kind: 'note', words: '' } },
  { what: 'a day that does not exist', body: nextLook('2027-02-30') },
  { what: 'a field too many', body: { kind: 'note', words: 'a', by: 'somebody' } },
])('$what are not written', async ({ body }) => { await expect(written(await opened(), [body as Body])).rejects.toThrow(); });
