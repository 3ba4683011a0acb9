import type { Body, Entry } from './entry';
import { headsOf, inOrder, type History } from './graph';
import { refusal } from './rules';
import { sealed } from './seal';

/** Who writes and when. */
export interface By { readonly role: string; readonly at: Date; readonly corrects?: string }

/** Why something was not written. */
export class NotWritten extends Error {}

/** The next entry of a case, on all its heads. Throws NotWritten with the rule that forbids it. */
export async function nextEntry(id: string, history: History, body: Body, { role, at, corrects }: By): Promise<Entry> {
  const draft = { case: id, parents: [...headsOf(history)], at: at.toISOString(), role, corrects: corrects ?? null, body };
  const reason = refusal(inOrder(history), draft);
  if (reason !== null) throw new NotWritten(reason);
  return sealed(draft);
}
