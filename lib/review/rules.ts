import { checks, checkSteps } from './checks';
import { weighsOnOthers } from './decisions';
import type { Body, BodyOf, Draft } from './entry';
import { headOf } from './evidenceSchema';
import { fold, isKind, type Folded } from './fold';
import type { History } from './graph';
import { isClosed, nextStates, stateLabels } from './states';

const dayOf = (instant: string): string => instant.slice(0, 10);

function checkRefusal({ step }: BodyOf<'check'>, { of }: Folded): string | null {
  const recorded = new Set(of('check').map(({ body }) => body.step));
  const missing = checkSteps.slice(0, checkSteps.indexOf(step)).find((earlier) => !recorded.has(earlier));
  return missing === undefined ? null : `“${checks[step].label}” comes after “${checks[missing].label}”, which is neither recorded nor set aside`;
}

function decisionRefusal({ action }: BodyOf<'decision'>, { of }: Folded, history: History, at: string): string | null {
  const recorded = new Set(of('check').map(({ body }) => body.step));
  const missing = checkSteps.find((step) => !recorded.has(step));
  if (missing !== undefined) return `a decision comes after the checks, and “${checks[missing].label}” is neither recorded nor set aside`;
  const opened = history.find(isKind('opened'));
  const isUnit = opened !== undefined && headOf(opened.body.evidence).subject.kind !== 'component';
  const heard = of('reply').length > 0 || of('letterSent').some(({ body }) => body.replyBy < dayOf(at));
  return isUnit && weighsOnOthers(action) && !heard ? 'the unit has the right of reply first: no reply is recorded, and no date for reply has passed' : null;
}

function stateRefusal({ to }: BodyOf<'state'>, { state, of, decision, nextLook }: Folded): string | null {
  if (!nextStates[state].includes(to)) {
    return `“${stateLabels[to]}” does not follow “${stateLabels[state]}”; what may follow is ${nextStates[state].map((next) => `“${stateLabels[next]}”`).join(' or ')}`;
  }
  if (to === 'withUnit' && of('letterSent').length === 0) return `“${stateLabels.withUnit}” needs a letter that was sent`;
  if (to === 'decided' && decision === null) return `“${stateLabels.decided}” needs a decision`;
  if (to === 'watched' && nextLook === null) return `“${stateLabels.watched}” needs the date of the next look`;
  return null;
}

function mergeRefusal({ settles }: BodyOf<'merged'>, { conflicts }: Folded, parents: number): string | null {
  if (parents < 2) return 'a merge joins two histories or more';
  const open = conflicts.find(({ topic }) => !settles.some((settled) => settled.topic === topic));
  if (open !== undefined) return `the conflict on the ${topicWords[open.topic]} is not settled`;
  const none = settles.find(({ topic, stands }, i) =>
    settles.findIndex((other) => other.topic === topic) !== i || conflicts.find((conflict) => conflict.topic === topic)?.between.some(({ id }) => id === stands) !== true);
  return none === undefined ? null : `what stands on the ${topicWords[none.topic]} must be one of the entries that compete`;
}

export const topicWords = { state: 'state', decision: 'decision', nextLook: 'date of the next look' } as const;

const whileClosed: ReadonlySet<Body['kind']> = new Set(['evidenceAdded', 'note', 'conflictOfInterest', 'reply', 'dissent', 'nextLook', 'state', 'merged']);

/** Why an entry may not be written on a history, given in order; null: it may. Names no unit. */
export function refusal(history: History, { body, at, parents, corrects }: Pick<Draft, 'body' | 'at' | 'parents' | 'corrects'>): string | null {
  if (body.kind === 'opened') return history.length === 0 && corrects === null ? null : 'a case is opened once';
  if (history.length === 0) return 'a case begins with the entry that opens it';
  const folded = fold(history);
  if (corrects !== null) {
    const wrong = history.find(({ id }) => id === corrects);
    if (wrong === undefined) return 'the entry that is corrected must come before';
    if (wrong.body.kind !== body.kind || body.kind === 'state' || body.kind === 'merged') return 'an entry is corrected by one of its own kind; states, merges and the opening by a later entry';
  }
  if (folded.conflicts.length > 0 && body.kind !== 'merged') return `two histories say different things on the ${topicWords[folded.conflicts[0]!.topic]}: they are settled first`;
  if (isClosed(folded.state) && !whileClosed.has(body.kind)) return `the question is closed; move it to “${stateLabels.checking}” first`;
  switch (body.kind) {
    case 'check': return checkRefusal(body, folded);
    case 'decision': return decisionRefusal(body, folded, history, at);
    case 'state': return stateRefusal(body, folded);
    case 'merged': return mergeRefusal(body, folded, parents.length);
    case 'reply': return folded.of('letterSent').length === 0 ? 'a reply answers a letter, and none was sent' : null;
    case 'letterSent': return body.replyBy > dayOf(at) ? null : 'the date for reply must lie after the day of the letter';
    case 'nextLook': return body.date > dayOf(at) ? null : 'the next look must lie after the day it is set';
    case 'note': case 'evidenceAdded': case 'conflictOfInterest': case 'dissent': return null;
  }
}
