import { formatDate } from '../reports/format';
import { checkResultLabels, checks } from './checks';
import { actionLabels } from './decisions';
import type { Body, Entry, Kind } from './entry';
import { headOf } from './evidenceSchema';
import type { History } from './graph';
import { topicWords } from './rules';
import { stateLabels } from './states';

export const kindLabels: Readonly<Record<Kind, string>> = {
  opened: 'Question raised',
  evidenceAdded: 'Evidence added',
  check: 'Check',
  note: 'Note',
  conflictOfInterest: 'Conflict of interest',
  letterSent: 'Letter to the unit',
  reply: 'Reply of the unit',
  dissent: 'Dissent',
  decision: 'Decision',
  nextLook: 'Next look',
  state: 'State',
  merged: 'Two histories settled',
};

/** `2 March 2026, 09:04 UTC`. */
export const formatInstant = (at: string): string => `${formatDate(at.slice(0, 10))}, ${at.slice(11, 16)} UTC`;

/** What an entry says: in short, and in the words of the person who wrote it. */
export interface EntryWords { readonly headline: string; readonly words: readonly string[] }

export function entryWords({ body }: { readonly body: Body }, history: History): EntryWords {
  switch (body.kind) {
    case 'opened': case 'evidenceAdded': return { headline: `${kindLabels[body.kind]}: ${headOf(body.evidence).title}`, words: [] };
    case 'check': return { headline: `${checks[body.step].label}: ${checkResultLabels[body.result]}`, words: [body.words] };
    case 'note': case 'conflictOfInterest': case 'reply': case 'dissent': return { headline: kindLabels[body.kind], words: [body.words] };
    case 'letterSent': return { headline: `Letter sent to: ${body.to}; reply asked for by ${formatDate(body.replyBy)}`, words: [body.words] };
    case 'decision': return { headline: `Decision: ${actionLabels[body.action]}`, words: [body.reasons] };
    case 'nextLook': return { headline: `Next look on ${formatDate(body.date)}`, words: [body.words] };
    case 'state': return { headline: `Now ${stateLabels[body.to]}`, words: [body.why] };
    case 'merged': return { headline: kindLabels.merged, words: body.settles.map(({ topic, stands, why }) => `On the ${topicWords[topic]}, entry ${numberOf(stands, history)} stands: ${why}`) };
  }
}

/** The place of an entry in its history, from 1. */
export const numberOf = (id: string, history: History): number => history.findIndex((entry) => entry.id === id) + 1;

/** `chair, 2 March 2026, 09:04 UTC`. */
export const byWords = ({ role, at }: Entry): string => `${role}, ${formatInstant(at)}`;
