import { hashOf } from '../contract/canonical';
import type { Question } from '../contract/question';
import type { Source } from '../engine/loadedExtract';

/** What all files of a registry begin with; `registry` is what it is to be called, if not as in its extract. */
export const fileHead = async ({ registry, version, opened, closingDate, fingerprint }: Source, question: Question, name: string = registry) =>
  ({ version: 1, question, questionHash: await hashOf(question), source: { registry: name, version, opened, closingDate, fingerprint } }) as const;

/** The file with the hash of all else that is in it, by which a changed one is recognised. */
export const sealed = async <T extends object>(content: T): Promise<T & { readonly hash: string }> => ({ ...content, hash: await hashOf(content) });
