import { writeFile } from 'node:fs/promises';
import { basename } from 'node:path';
import type { NothingToShow } from '../analysis/result';
import { canonicalJson } from '../contract/canonical';
import { Question } from '../contract/question';
import type { RegistryCounts } from '../contract/registryCounts';
import type { RegistryEstimates } from '../contract/registryEstimates';
import { reduceRegistry } from '../pooling/reduceRegistry';
import { namedReference, reduceToEstimates } from '../pooling/reduceToEstimates';
import { InputError } from './inputError';
import { toJson } from './json';
import { existingText, parsed } from './questionFile';
import { reduceHelp, reduceRequest } from './reduceArguments';
import { withExtract } from './withExtract';

/** Writes the file that is asked for, and gives what is to be said of it. `progress` gets short lines for a person who waits. */
export async function reduceForm(args: readonly string[], progress: (line: string) => void): Promise<string> {
  const request = reduceRequest(args);
  if (request.form === 'help') return reduceHelp;
  const { form, question: path, out, registry: name, smallest, days } = request, file = basename(path), question = parsed(Question, file, await existingText(path));
  if (form === 'counts' && question.strata.includes('hospital')) throw new InputError(`${file}: strata: no hospital is told apart in a file that leaves a registry; use region or none: 'hospital'`);
  if (form === 'estimates' && (namedReference(question) === null || question.groups.length === 0)) {
    throw new InputError(`${file}: reference: must be named, as must the groups, so that all registries compare the same: ${question.reference ?? 'null'}`);
  }
  const reduced = await withExtract<RegistryCounts | RegistryEstimates | NothingToShow>(request, progress, (extract, options) => (form === 'estimates'
    ? reduceToEstimates(extract, question, { ...options, smallest, name }) : reduceRegistry(extract, question, { ...options, days, name })));
  if ('status' in reduced) throw new InputError(`nothing is written: ${reduced.reason}`);
  const text = canonicalJson(reduced);
  await writeNew(out, text);
  return `${toJson({ written: out, bytes: Buffer.byteLength(text), ...summary(reduced) })}\n`;
}

/** What a person looks at before the file leaves. */
function summary(file: RegistryCounts | RegistryEstimates): object {
  const { source, questionHash, holds, hash } = file, head = { holds, source, questionHash, hash };
  if (file.format === 'registry-estimates') return { ...head, groups: file.groups, ratios: file.ratios };
  return { ...head, protection: file.protection, procedures: file.cells.count.reduce((sum, n) => sum + n, 0), groups: file.groups, patterns: file.patterns.group.length, cells: file.cells.count.length };
}

async function writeNew(path: string, text: string): Promise<void> {
  try {
    await writeFile(path, text, { flag: 'wx' });
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? cause.code : null;
    if (code === 'EEXIST') throw new InputError(`--out must be a file that is not there yet: '${path}'`, { cause });
    if (code === 'ENOENT' || code === 'EACCES' || code === 'EISDIR') throw new InputError(`--out can’t be written (${code}): '${path}'`, { cause });
    throw cause;
  }
}
