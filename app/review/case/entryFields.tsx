'use client';
import { checkResultLabels, checkResults, type CheckStep } from '../../../lib/review/checks';
import { actionLabels, actions } from '../../../lib/review/decisions';
import type { CaseFile } from '../../../lib/review/fold';
import { nextStates, stateLabels, type State } from '../../../lib/review/states';
import { Checks, Choice } from '../../parts/fields';
import { WordsField } from '../../parts/WordsField';

/** What can be written by hand. Openings come from other pages, merges from a conflict. */
export const writable = ['note', 'letterSent', 'reply', 'dissent', 'conflictOfInterest', 'decision', 'nextLook', 'state'] as const;
export type Writable = (typeof writable)[number] | 'check';

export interface Entered { readonly words: string; readonly to: string; readonly day: string; readonly choice: string; readonly moves: boolean }
export const nothingEntered: Entered = { words: '', to: '', day: '', choice: '', moves: true };

/** The state that a kind of entry usually leads to. */
const leadsTo: Partial<Record<Writable, State>> = { check: 'checking', letterSent: 'withUnit', decision: 'decided' };
export const moveOf = (kind: Writable, { state }: CaseFile): State | null => {
  const to = leadsTo[kind];
  return to !== undefined && nextStates[state].includes(to) && (kind !== 'check' || state === 'asked') ? to : null;
};

const moveReasons: Partial<Record<State, string>> = { checking: 'The first check was recorded.', withUnit: 'The letter was sent.', decided: 'The decision was recorded.' };

/** What was entered as the entries to be written, to be checked by their schema. */
export function bodiesOf(kind: Writable, step: CheckStep | null, file: CaseFile, { words: written, to, day, choice, moves }: Entered): readonly unknown[] {
  const words = written.trim(), move = moves ? moveOf(kind, file) : null;
  const body = {
    check: { kind, step, result: choice, words }, note: { kind, words }, reply: { kind, words }, dissent: { kind, words }, conflictOfInterest: { kind, words },
    letterSent: { kind, to: to.trim(), replyBy: day, words }, decision: { kind, action: choice, reasons: words }, nextLook: { kind, date: day, words },
    state: { kind, to: choice, why: words },
  }[kind];
  if (move === null) return [body];
  const moved = { kind: 'state', to: move, why: moveReasons[move] ?? '' };
  return kind === 'check' ? [moved, body] : [body, moved];
}

const wordsLabels: Readonly<Record<Writable, string>> = {
  check: 'What was looked at and found', note: 'Note', letterSent: 'What the letter asks', reply: 'What the unit says, in its own words', dissent: 'Who sees it otherwise, and why',
  conflictOfInterest: 'Which interest, and what follows from it', decision: 'Reasons', nextLook: 'What is to be looked at', state: 'Reason',
};

/** The fields of one kind of entry. */
export function EntryFields({ kind, file, entered, change }: { readonly kind: Writable; readonly file: CaseFile; readonly entered: Entered; readonly change: (part: Partial<Entered>) => void }) {
  const move = moveOf(kind, file);
  return (
    <>
      {kind === 'check' && <Choice label="Result" chosen={entered.choice} options={checkResults.map((key) => ({ key, label: checkResultLabels[key] }))} onChange={(choice) => { change({ choice }); }} />}
      {kind === 'decision' && <Choice label="Decision" chosen={entered.choice} options={actions.map((key) => ({ key, label: actionLabels[key] }))} onChange={(choice) => { change({ choice }); }} />}
      {kind === 'state' && (
        <Choice label={`From “${stateLabels[file.state]}” to`} chosen={entered.choice} options={nextStates[file.state].map((key) => ({ key, label: stateLabels[key] }))} onChange={(choice) => { change({ choice }); }} />
      )}
      {kind === 'letterSent' && <WordsField label="To" value={entered.to} onChange={(to) => { change({ to }); }} help="A role: head of department of the unit." />}
      {(kind === 'letterSent' || kind === 'nextLook') && <WordsField type="date" label={kind === 'letterSent' ? 'Reply asked for by' : 'Date of the next look'} value={entered.day} onChange={(day) => { change({ day }); }} />}
      <WordsField long label={wordsLabels[kind]} value={entered.words} onChange={(words) => { change({ words }); }} help="No names and nothing about a single patient: what is written here stays." />
      {move !== null && (
        <Checks label="With it" chosen={entered.moves ? ['moves'] : []} options={[{ key: 'moves', label: `The question is now “${stateLabels[move]}”` }]} onChange={(chosen) => { change({ moves: chosen.includes('moves') }); }} />
      )}
    </>
  );
}
