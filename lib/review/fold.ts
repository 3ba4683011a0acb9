import type { Source } from '../engine/loadedExtract';
import type { Evidence, Subject } from '../reports/evidence';
import { checkSteps, type CheckStep } from './checks';
import { topics, type BodyOf, type Entry, type Kind, type Topic } from './entry';
import { headOf, thawed } from './evidenceSchema';
import { headsOf, inOrder, type History } from './graph';
import type { State } from './states';
import { standing } from './topics';

/** An entry of one kind. */
export type Written<K extends Kind> = Entry & { readonly body: BodyOf<K> };

/** A topic on which two branches of the history say different things. */
export interface Conflict { readonly topic: Topic; readonly between: readonly Entry[] }

/** Where a case stands, worked out from its entries. */
export interface CaseFile {
  readonly id: string;
  readonly history: History; // in order
  readonly heads: readonly string[];
  readonly subject: Subject;
  readonly title: string;
  readonly source: Source; // of the evidence it was opened with
  readonly state: State; // of competing ones the first, until they are settled
  readonly decision: Written<'decision'> | null;
  readonly nextLook: Written<'nextLook'> | null;
  /** What was recorded at each step, in the order of the steps; later records last, corrected ones are left out. */
  readonly checks: readonly { readonly step: CheckStep; readonly records: readonly Written<'check'>[] }[];
  readonly letters: readonly Written<'letterSent'>[];
  readonly replies: readonly Written<'reply'>[];
  readonly conflicts: readonly Conflict[];
  readonly corrected: ReadonlyMap<string, string>; // id → the entry that puts it right
}

export const isKind = <K extends Kind>(kind: K) => (entry: Entry): entry is Written<K> => entry.body.kind === kind;

export interface Folded {
  readonly state: State;
  readonly decision: Written<'decision'> | null;
  readonly nextLook: Written<'nextLook'> | null;
  readonly conflicts: readonly Conflict[];
  readonly corrected: ReadonlyMap<string, string>;
  /** What was written and not put right later, in order. */
  readonly of: <K extends Kind>(kind: K) => readonly Written<K>[];
}

/** What holds after some entries, given in order. */
export function fold(ordered: History): Folded {
  const held = Object.fromEntries(topics.map((topic) => [topic, standing(topic, ordered)])) as Record<Topic, readonly Entry[]>;
  const corrected = new Map(ordered.flatMap(({ id, corrects }) => (corrects === null ? [] : [[corrects, id] as const])));
  const [state] = held.state, [decision] = held.decision, [nextLook] = held.nextLook;
  return {
    state: state?.body.kind === 'state' ? state.body.to : 'asked',
    decision: decision !== undefined && isKind('decision')(decision) ? decision : null,
    nextLook: nextLook !== undefined && isKind('nextLook')(nextLook) ? nextLook : null,
    conflicts: topics.map((topic) => ({ topic, between: held[topic] })).filter(({ between }) => between.length > 1),
    corrected,
    of: (kind) => ordered.filter(isKind(kind)).filter(({ id }) => !corrected.has(id)),
  };
}

/** The evidence of a case, as it was frozen. */
export const evidenceOf = ({ body }: Written<'opened' | 'evidenceAdded'>): Evidence => thawed(body.evidence);

/** A case from its verified entries. */
export function caseFile(history: History): CaseFile {
  const ordered = inOrder(history), folded = fold(ordered);
  const opened = ordered.find(isKind('opened'));
  if (opened === undefined) throw new TypeError('a case begins with the entry that opened it');
  const { subject, title, source } = headOf(opened.body.evidence), written = folded.of('check');
  return {
    id: opened.case, history: ordered, heads: headsOf(ordered), subject, title, source,
    state: folded.state, decision: folded.decision, nextLook: folded.nextLook,
    checks: checkSteps.map((step) => ({ step, records: written.filter(({ body }) => body.step === step) })),
    letters: folded.of('letterSent'), replies: folded.of('reply'), conflicts: folded.conflicts, corrected: folded.corrected,
  };
}
