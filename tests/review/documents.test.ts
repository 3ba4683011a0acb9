import { describe, expect, it } from 'vitest';
import { dossier } from '@/lib/review/documents/dossier';
import { letter } from '@/lib/review/documents/letter';
import { meetingPack } from '@/lib/review/documents/meetingPack';
import { caseFile } from '@/lib/review/fold';
import type { History } from '@/lib/review/graph';
import { union } from '@/lib/review/merge';
import { ownCasesRequest } from '@/lib/review/ownCasesRequest';
import type { OwnCase } from '@/lib/screening/units/unitsResult';
import { beforeCommittee, decision, evidence, letter as letterSent, nextLook, opened, state, written } from './story';

const on = '2026-05-04';
/** Every text of a document. */
const textOf = (value: unknown): string =>
  (typeof value === 'string' ? value : typeof value === 'object' && value !== null ? Object.values(value).map(textOf).join('\n') : '');
const decided = async (): Promise<History> =>
  written(await beforeCommittee(), [{ kind: 'dissent', words: 'the clinical member would wait' }, { kind: 'conflictOfInterest', words: 'one member works there' }, decision('watch'), state('decided'), nextLook('2027-03-01')]);

describe('a dossier', () => {
  it('holds the question, the numbers, how they were made, the data, checks, words, decision, history and lines to sign', async () => {
    const file = caseFile(await decided()), { parts, signatures, ...head } = dossier(file, on), text = textOf({ parts, head });
    for (const part of [
      evidence.question, '31 revisions were observed and 17.2 expected', 'Method: Indirect standardisation', evidence.source.fingerprint, 'look 3', 'Data quality', 'does not explain it',
      'two of the revisions were of the other side', 'the clinical member would wait', 'one member works there', 'Watch, and look again', 'the ratio stays above one', '1 March 2027', '4 May 2026',
      'A flag is a question and no verdict', ...file.heads, `${file.history.length} entries`,
    ]) expect(text, part).toContain(part);
    expect(signatures).toContain('Chair');
    expect(parts.map(({ heading }) => heading)).toEqual(['Before a decision rests on this', `What was seen: ${evidence.title}`, 'Checks, in their order', 'Interests, letters, replies, notes and dissent', 'Decision', 'History']);
  });

  it('shows both sides of a conflict and names none as the decision', async () => {
    const base = await beforeCommittee();
    const file = caseFile(union(await written(base, [decision('watch')]), await written(base, [decision('restrictUse')], { role: 'department head', from: 40 })));
    const part = dossier(file, on).parts.find(({ heading }) => heading === 'Decision');
    expect(part?.blocks[0]).toEqual({ kind: 'heading', text: 'Two histories say different things on the decision' });
    expect(textOf(part)).toMatch(/Watch, and look again[\s\S]*Restrict use/);
  });
});

it('a meeting pack lists what is open and closed, in the order in which it was raised, with a dossier of each open question', async () => {
  const open = caseFile(await beforeCommittee()), closed = caseFile(await written(await opened(), [state('closed')]));
  const [cover, ...dossiers] = meetingPack([open, closed], on);
  expect(dossiers.map(({ title }) => title)).toEqual([open.title]);
  expect(cover?.parts.map(({ heading }) => heading)).toEqual(['Order of business', 'Open questions', 'Closed questions']);
  expect(textOf(cover)).toContain('before the committee');
});

describe('a private letter', () => {
  const cases: readonly OwnCase[] = [{ procedureId: 'P000041', procedureDate: '2005-01-24', days: 1607, kind: 'Revision: modular parts only', reason: 'Infection' }];

  it('asks for a check in neutral words, with a day for the reply and the unit’s own list', async () => {
    const file = caseFile(await written(await opened(), [letterSent])), content = letter(file, cases, on), text = textOf(content);
    for (const part of ['hospital H017', '15 April 2026', 'head of department', 'no verdict', 'chance', 'coded', 'in your own words', 'Send no names of patients', 'P000041', '24 January 2005', '4.4']) expect(text, part).toContain(part);
    for (const word of ['outlier', 'fail', 'poor', 'worst', 'bad', 'blame', 'Dear']) expect(text.toLowerCase(), word).not.toMatch(new RegExp(`\\b${word.toLowerCase()}`));
  });

  it('leaves the day open where no letter is recorded, and says so where the list is not there', async () => {
    const content = letter(caseFile(await opened()), null, on);
    expect(textOf(content)).toContain('________');
    expect(content?.ownCases).toBeNull();
  });

  it('is not written to a component', async () => {
    const component = { ...evidence, subject: { kind: 'component' as const, id: 'G-KEE-01', label: 'glenoid component G-KEE-01' } };
    expect(letter(caseFile(await opened(component)), [], on)).toBeNull();
  });
});

describe('the list of own procedures is that of what was asked', () => {
  it.each([
    { what: 'by the page of a unit', question: { kind: 'hospital', cohort: { classes: ['reverse_total'] }, outcome: { reasons: ['infection'] }, horizonYears: 5, peers: 'region' } },
    { what: 'by a chart over time, which asks for more besides', question: { kind: 'hospital', cohort: { classes: ['reverse_total'] }, outcome: { reasons: ['infection'], ofRoleOnly: false }, horizonYears: 5, seed: 3 } },
  ])('$what', async ({ question }) => {
    const request = ownCasesRequest(caseFile(await opened({ ...evidence, request: { question, unit: { kind: 'hospital', id: 'H017' } } })));
    expect(request).toMatchObject({ unit: { kind: 'hospital', id: 'H017' }, question: { horizonYears: 5, cohort: { classes: ['reverse_total'] }, outcome: { reasons: ['infection'] } } });
  });

  it('and there is none where it does not say', async () => { expect(ownCasesRequest(caseFile(await opened()))).toBeNull(); });
});
