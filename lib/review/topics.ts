import { canonicalJson } from '../contract/canonical';
import type { Entry, Topic } from './entry';
import { ancestorsOf, type History } from './graph';

/** What an entry says on a topic; null: nothing. Two that say the same do not compete. */
export function saidOn(topic: Topic, { body }: Entry): string | null {
  if (topic === 'state') return body.kind === 'opened' ? 'asked' : body.kind === 'state' ? body.to : null;
  if (topic === 'decision') return body.kind === 'decision' ? canonicalJson(body) : null;
  return body.kind === 'nextLook' ? body.date : null;
}

const settledBy = (topic: Topic, { body }: Entry): string | null =>
  (body.kind === 'merged' ? body.settles.find((settled) => settled.topic === topic)?.stands ?? null : null);

/**
 * The entries that hold on a topic: what was said last on each branch of the history, or what a merge let stand. More than one: they
 * compete, and all are kept until a merge says which stands.
 */
export function standing(topic: Topic, ordered: History): readonly Entry[] {
  const byId = new Map(ordered.map((entry) => [entry.id, entry])), ancestors = ancestorsOf(ordered);
  const speaking = ordered.filter((entry) => saidOn(topic, entry) !== null || settledBy(topic, entry) !== null);
  const last = speaking.filter(({ id }) => !speaking.some((later) => ancestors.get(later.id)?.has(id) === true));
  const values = new Map<string, Entry>();
  for (const entry of last) {
    const stands = byId.get(settledBy(topic, entry) ?? entry.id) ?? entry;
    const value = saidOn(topic, stands) ?? stands.id;
    if (!values.has(value)) values.set(value, stands);
  }
  return [...values.values()];
}
