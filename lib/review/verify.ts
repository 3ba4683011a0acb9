import { hashOf } from '../contract/canonical';
import { Entry } from './entry';
import { ancestorsOf, inOrder, type History } from './graph';
import { refusal } from './rules';

/** Why a history is not whole. Names the entry by its number, the rule and the value, never a unit. */
export interface Damage { readonly entry: number; readonly rule: string; readonly value: string }

export type Verified = { readonly status: 'whole'; readonly history: History } | { readonly status: 'damaged'; readonly damage: readonly Damage[] };

const short = (hash: string) => hash.slice(0, 12);

async function damageOf(entry: Entry, known: ReadonlySet<string>): Promise<Omit<Damage, 'entry'>[]> {
  const { id, ...draft } = entry, { body } = draft;
  const found = await hashOf(draft);
  const evidence = body.kind === 'opened' || body.kind === 'evidenceAdded' ? { stated: body.evidenceHash, found: await hashOf(body.evidence) } : null;
  return [
    ...(found === id ? [] : [{ rule: 'the content must have the hash that is its id', value: `${short(found)} instead of ${short(id)}` }]),
    ...(evidence === null || evidence.found === evidence.stated ? [] : [{ rule: 'the evidence must have its hash', value: `${short(evidence.found)} instead of ${short(evidence.stated)}` }]),
    ...entry.parents.filter((parent) => !known.has(parent)).map((parent) => ({ rule: 'the entry that it was written on must be there', value: `${short(parent)} is missing` })),
  ];
}

/** Entries of an unknown source as the history of one case: every id recomputed, every parent present, every rule kept. */
export async function verified(entries: readonly unknown[]): Promise<Verified> {
  const history: Entry[] = [], damage: Damage[] = [], numbers = new Map<string, number>();
  for (const [i, raw] of entries.entries()) {
    const checked = Entry.safeParse(raw);
    if (checked.success) {
      if (numbers.has(checked.data.id)) damage.push({ entry: i + 1, rule: 'an entry stands once', value: `the same as entry ${numbers.get(checked.data.id) ?? ''}` });
      numbers.set(checked.data.id, i + 1);
      history.push(checked.data);
    } else damage.push(...checked.error.issues.slice(0, 3).map(({ path, message }) => ({ entry: i + 1, rule: message, value: `field ${path.join('.') || 'entry'}` })));
  }
  if (damage.length > 0) return { status: 'damaged', damage };
  const known = new Set(numbers.keys()), [first] = history;
  for (const [i, entry] of history.entries()) {
    damage.push(...(await damageOf(entry, known)).map((found) => ({ entry: i + 1, ...found })));
    if (entry.case !== first?.case) damage.push({ entry: i + 1, rule: 'all entries of a history belong to one case', value: 'another case' });
  }
  if (damage.length > 0) return { status: 'damaged', damage };
  const broken = brokenRules(history).map(({ id, rule }) => ({ entry: numbers.get(id) ?? 0, rule, value: 'written against it' }));
  return broken.length === 0 ? { status: 'whole', history } : { status: 'damaged', damage: broken };
}

/** Every entry against what it was written on: that was all its writer had. */
function brokenRules(history: History): readonly { readonly id: string; readonly rule: string }[] {
  const ordered = inOrder(history), ancestors = ancestorsOf(ordered);
  if (ordered.length < history.length) return [{ id: history.find(({ id }) => !ancestors.has(id))?.id ?? '', rule: 'no entry may be written on itself' }];
  const roots = ordered.filter(({ parents }) => parents.length === 0);
  if (roots.length !== 1) return [{ id: roots[1]?.id ?? '', rule: 'a case is opened once' }];
  return ordered.flatMap((entry) => {
    const rule = refusal(ordered.filter(({ id }) => ancestors.get(entry.id)?.has(id) === true), entry);
    return rule === null ? [] : [{ id: entry.id, rule }];
  });
}
