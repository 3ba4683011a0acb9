import type { Mapping } from '../../lib/contract/mapping';
import type { Inspection } from '../../lib/intake/inspection';
import { suggestMapping } from '../../lib/intake/suggest/suggestMapping';
import type { OpenQuestion } from '../../lib/intake/suggestion';

/** What a person answers to a question: the value, or nothing. */
export type Answer = (question: OpenQuestion) => string | undefined;

/** The suggested mapping with the answers put where the questions point. */
export function answered(inspection: Inspection, answer: Answer): Mapping {
  const { mapping, questions } = suggestMapping(inspection);
  const draft = structuredClone(mapping) as unknown as Record<string, unknown>;
  for (const question of questions) {
    const value = answer(question);
    if (value === undefined) continue;
    const [, before = question.path, of] = /^(.*)\.codes\.(.*)$/.exec(question.path) ?? [];
    const path = of === undefined ? question.path.split('.') : [...before.split('.'), 'codes', of];
    const isField = /\.fields\.\w+$/.test(question.path);
    put(draft, path, isField ? { constant: value } : value);
  }
  return draft as unknown as Mapping;
}

function put(at: Record<string, unknown>, [key = '', ...rest]: readonly string[], value: unknown): void {
  if (rest.length === 0) at[key] = value;
  else put((at[key] ??= {}) as Record<string, unknown>, rest, value);
}
