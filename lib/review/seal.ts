import type { Evidence } from '../reports/evidence';
import { hashOf } from '../contract/canonical';
import { Draft, type BodyOf, type Entry } from './entry';
import { frozen } from './evidenceSchema';

/** An entry with its id, which is the hash of all the rest. Throws on what may not be written. */
export async function sealed(draft: Draft): Promise<Entry> {
  const checked = Draft.parse(draft);
  return { ...checked, id: await hashOf(checked) };
}

/** Evidence as it enters a case, with its own hash. */
export async function frozenEvidence(evidence: Evidence): Promise<Omit<BodyOf<'opened'>, 'kind'>> {
  const content = frozen(evidence);
  return { evidence: content, evidenceHash: await hashOf(content) };
}
