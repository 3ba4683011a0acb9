import type { z } from 'zod';
import { hashOf } from '../contract/canonical';
import { formIssues } from '../contract/issues';
import { RegistryCounts } from '../contract/registryCounts';
import { RegistryEstimates } from '../contract/registryEstimates';
import { codings } from '../cohort/covariate';
import type { Question } from '../contract/question';

/** Why files can't be pooled: what, the rule, the value, where. */
export class NotPoolable extends Error {
  override readonly name = 'NotPoolable';
}

export interface Named<T> { readonly name: string; readonly file: T }

/** Reads files of counts, all of which answer one question about registries of their own. Throws a NotPoolable otherwise. */
export async function readCounts(texts: readonly Named<string>[]): Promise<readonly Named<RegistryCounts>[]> {
  const files = await readAll(texts, RegistryCounts, 'counts');
  for (const { name, file } of files) {
    for (const { kind, name: factor, keys } of file.patterns.factors) {
      if (kind === 'strata') continue;
      const unknown = keys.find((key) => !(factor in codings) || codings[factor as keyof typeof codings].codeOf(key) === null);
      if (unknown !== undefined) throw new NotPoolable(`${name}: patterns.factors: not a level of ${factor}: ${quoted(unknown)}`);
    }
  }
  return files;
}

/** Reads files of estimates; their ratios are against one reference. */
export async function readEstimates(texts: readonly Named<string>[]): Promise<readonly Named<RegistryEstimates>[]> {
  const files = await readAll(texts, RegistryEstimates, 'estimates'), [first] = files;
  for (const { name, file } of files) {
    const same = (a: readonly string[], b: readonly string[]): boolean => a.length === b.length && a.every((one) => b.includes(one));
    if (first === undefined) break;
    if (file.reference !== first.file.reference) throw new NotPoolable(`${name}: reference: must be that of ${first.name} (${quoted(first.file.reference)}): ${quoted(file.reference)}`);
    if (!same(file.adjustedFor, first.file.adjustedFor)) throw new NotPoolable(`${name}: adjustedFor: must be that of ${first.name} (${first.file.adjustedFor.join(', ') || 'nothing'}): ${file.adjustedFor.join(', ') || 'nothing'}`);
  }
  return files;
}

async function readAll<F extends typeof RegistryCounts | typeof RegistryEstimates>(texts: readonly Named<string>[], schema: F, kind: string): Promise<readonly Named<z.infer<F>>[]> {
  const files: Named<z.infer<F>>[] = [];
  for (const { name, file: text } of texts) files.push({ name, file: await readOne(name, text, schema, kind) });
  const [first] = files;
  for (const [i, { name, file }] of files.entries()) {
    if (file.questionHash !== first!.file.questionHash) {
      throw new NotPoolable(`${name}: question: must be that of ${first!.name}, in every field; differs in ${differing(first!.file.question, file.question).join(', ')}`);
    }
    const twice = files.slice(0, i).find((other) => other.file.source.fingerprint === file.source.fingerprint || plain(other.file.source.registry) === plain(file.source.registry));
    if (twice !== undefined) throw new NotPoolable(`${name}: source: each registry counts once, but ${twice.name} is of the same ${twice.file.source.fingerprint === file.source.fingerprint ? 'extract' : 'registry'}: ${quoted(file.source.registry)}`);
  }
  return files;
}

async function readOne<F extends typeof RegistryCounts | typeof RegistryEstimates>(name: string, text: string, schema: F, kind: string): Promise<z.infer<F>> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw new NotPoolable(`${name}: not JSON`);
  }
  const format = typeof json === 'object' && json !== null && 'format' in json ? json.format : undefined;
  if (format !== `registry-${kind}`) throw new NotPoolable(`${name}: format: must be a file of ${kind} that npm run reduce wrote (registry-${kind}): ${quoted(format)}`);
  const parsed = schema.safeParse(json);
  if (!parsed.success) {
    const { path, message } = formIssues(parsed.error)[0]!;
    throw new NotPoolable(`${name}: ${path.map(String).join('.')}: ${message}`);
  }
  const { hash, ...content } = json as { hash: string; question: unknown }, now = await hashOf(content);
  if (now !== hash) throw new NotPoolable(`${name}: hash: the file was changed after it was written: ${hash}`);
  if (await hashOf(content.question) !== parsed.data.questionHash) throw new NotPoolable(`${name}: questionHash: must be that of the question: ${parsed.data.questionHash}`);
  return parsed.data as z.infer<F>;
}

const plain = (registry: string): string => registry.trim().toLowerCase();
const quoted = (value: unknown): string => (value === undefined ? 'nothing' : `“${(typeof value === 'string' ? value : JSON.stringify(value)).slice(0, 80)}”`);

/** The fields in which two questions differ. */
const differing = (a: Question, b: Question): readonly string[] => {
  const fields = (question: Question) => Object.entries({ ...question, ...Object.fromEntries(Object.entries(question.cohort).map(([name, value]) => [`cohort.${name}`, value])), cohort: null });
  const other = new Map(fields(b));
  return fields(a).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(other.get(name))).map(([name]) => name);
};
