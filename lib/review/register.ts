import { formatDate } from '../reports/format';
import { text, type ReportTable } from '../reports/table';
import { words } from '../reports/tableCells';
import { actionLabels } from './decisions';
import type { CaseFile } from './fold';
import { isClosed, stateLabels } from './states';

/** The letter that waits for a reply; null: none does. */
export function awaitedReply({ history, letters, replies }: CaseFile): string | null {
  const letter = letters.at(-1);
  if (letter === undefined) return null;
  const after = history.slice(history.findIndex(({ id }) => id === letter.id) + 1), answered = replies.some(({ id }) => after.some((entry) => entry.id === id));
  return answered ? null : letter.body.replyBy;
}

const toSettle = 'two histories to settle';
const openedOn = ({ history }: CaseFile): string => formatDate(history[0]?.at.slice(0, 10) ?? '');
export const stateWords = ({ state, conflicts }: CaseFile): string => (conflicts.some(({ topic }) => topic === 'state') ? toSettle : stateLabels[state]);

/** What was decided, as words; empty: nothing was. */
export const decisionWords = ({ decision, conflicts }: CaseFile): string =>
  (conflicts.some(({ topic }) => topic === 'decision') ? toSettle : decision === null ? '' : actionLabels[decision.body.action]);
export const nextLookWords = ({ nextLook, conflicts }: CaseFile): string =>
  (conflicts.some(({ topic }) => topic === 'nextLook') ? toSettle : nextLook === null ? '' : formatDate(nextLook.body.date));

/** One line of the register: dates as words, in the order in which the questions were raised. */
export interface RegisterLine {
  readonly id: string;
  readonly title: string;
  readonly about: string;
  readonly state: string;
  readonly decision: string;
  readonly opened: string;
  readonly replyBy: string;
  readonly nextLook: string;
}

export const registerLine = (file: CaseFile): RegisterLine => {
  const replyBy = awaitedReply(file);
  return {
    id: file.id, title: file.title, about: file.subject.label, state: stateWords(file),
    decision: decisionWords(file),
    opened: openedOn(file), replyBy: replyBy === null ? '' : formatDate(replyBy), nextLook: nextLookWords(file),
  };
};

export const isOpen = ({ state }: CaseFile): boolean => !isClosed(state);

/** The register as a table, for print. */
export const registerTable = (files: readonly CaseFile[]): ReportTable => ({
  name: 'register', title: 'Questions in the order in which they were raised',
  method: 'The order says nothing about weight.',
  columns: ['Question', 'About', 'Raised', 'State', 'Decision', 'Reply asked for by', 'Next look'].map(words),
  rows: files.map(registerLine).map((line) => ({ cells: [line.title, line.about, line.opened, line.state, line.decision, line.replyBy, line.nextLook].map(text) })),
});
