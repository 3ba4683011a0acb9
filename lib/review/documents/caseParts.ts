import { heading, type Block } from '../../reports/blocks';
import { formatDate } from '../../reports/format';
import { caseProvenance, caseSourceLine } from '../caseProvenance';
import { checkResultLabels, checks } from '../checks';
import { actionLabels } from '../decisions';
import type { Kind } from '../entry';
import { byWords, entryWords, numberOf } from '../entryWords';
import { evidenceOf, isKind, type CaseFile } from '../fold';
import { awaitedReply, decisionWords, nextLookWords, stateWords } from '../register';
import { topicWords } from '../rules';
import { say, wordsTable, type PrintedPart } from './printedDocument';

/** What was seen, as it was frozen: one part for the opening and one for each addition. */
export const evidenceParts = ({ history }: CaseFile): readonly PrintedPart[] =>
  [...history.filter(isKind('opened')), ...history.filter(isKind('evidenceAdded'))].map((entry) => {
    const evidence = evidenceOf(entry);
    return {
      heading: `What was seen: ${evidence.title}`,
      blocks: [...say(evidence.question), ...evidence.blocks],
      lists: [...evidence.notes, ...evidence.methods.map((method) => `Method: ${method}`)],
      provenance: caseProvenance(evidence), source: `${caseSourceLine(evidence)}. SHA-256 of the data: ${evidence.source.fingerprint}. SHA-256 of this evidence: ${entry.body.evidenceHash}`,
    };
  });

export const checksPart = ({ checks: steps }: CaseFile): PrintedPart => ({
  heading: 'Checks, in their order',
  blocks: [wordsTable('checks', 'Checks', 'Data first, practice last; each waits for the one before it.', ['Check', 'Result', 'What was looked at and found', 'By'],
    steps.flatMap(({ step, records }) => (records.length === 0 ? [[checks[step].label, 'not recorded', '', '']]
      : records.map((entry) => [checks[step].label, checkResultLabels[entry.body.result], entry.body.words, byWords(entry)]))))],
});

const said: readonly Kind[] = ['conflictOfInterest', 'letterSent', 'reply', 'note', 'dissent'];

/** Letters, replies, notes, interests and dissent, in the words of those who gave them. */
export function saidPart({ history, corrected }: CaseFile): PrintedPart {
  const rows = history.filter(({ id, body }) => said.includes(body.kind) && !corrected.has(id)).map((entry) => {
    const { headline, words } = entryWords(entry, history);
    return [headline, words.join(' '), byWords(entry)];
  });
  return {
    heading: 'Interests, letters, replies, notes and dissent',
    blocks: rows.length === 0 ? say('Nothing is recorded.') : [wordsTable('said', 'What was said', 'In the order in which it was recorded.', ['What', 'Words', 'By'], rows)],
  };
}

export function decisionPart(file: CaseFile): PrintedPart {
  const { decision, nextLook, conflicts, history } = file;
  const open = conflicts.flatMap(({ topic, between }): readonly Block[] => [
    heading(`Two histories say different things on the ${topicWords[topic]}`),
    wordsTable(`conflict-${topic}`, 'Both are kept until one is said to stand', 'From files written apart.', ['Entry', 'What', 'Words', 'By'],
      between.map((entry) => { const { headline, words } = entryWords(entry, history); return [String(numberOf(entry.id, history)), headline, words.join(' '), byWords(entry)]; })),
  ]);
  const decided = decision === null || open.length > 0 ? [] : say(`${actionLabels[decision.body.action]}. ${decision.body.reasons}`, `(${byWords(decision)})`);
  const look = nextLook === null ? [] : say(`Next look: ${nextLookWords(file)}. ${nextLook.body.words}`);
  return { heading: 'Decision', blocks: decided.length + open.length === 0 ? say('Nothing has been decided.') : [...decided, ...open, ...look] };
}

export const historyPart = ({ history, heads }: CaseFile): PrintedPart => ({
  heading: 'History',
  blocks: [
    wordsTable('history', 'Every entry', 'Each entry carries the hash of those before it; a later one corrects, nothing is overwritten.', ['No.', 'What', 'By', 'Hash'],
      history.map((entry, i) => [String(i + 1), `${entryWords(entry, history).headline}${entry.corrects === null ? '' : ` (corrects entry ${numberOf(entry.corrects, history)})`}`, byWords(entry), entry.id.slice(0, 12)])),
    ...say(`${history.length} entries, every hash recomputed for this print. The history ends in ${heads.join(' and ')}: a file that holds fewer entries, or ends in another hash, is not the one that was printed here.`),
  ],
});

/** Where the case stands, as lines of a document's head. */
export function caseFacts(file: CaseFile): readonly { readonly label: string; readonly text: string }[] {
  const replyBy = awaitedReply(file), [first] = file.history;
  return [
    { label: 'About', text: file.subject.label },
    { label: 'State', text: stateWords(file) },
    ...(first === undefined ? [] : [{ label: 'Raised by', text: byWords(first) }]),
    ...(decisionWords(file) === '' ? [] : [{ label: 'Decision', text: decisionWords(file) }]),
    ...(replyBy === null ? [] : [{ label: 'Reply asked for by', text: formatDate(replyBy) }]),
    ...(nextLookWords(file) === '' ? [] : [{ label: 'Next look', text: nextLookWords(file) }]),
    { label: 'Number of the case', text: file.id },
  ];
}

