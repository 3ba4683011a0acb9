import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { analyse } from '../analysis/analyse';
import { answerChapter, type ChapterName, type Chapters } from '../analysis/chapters';
import type { Analysis, NothingToShow } from '../analysis/result';
import type { AnalysisOptions } from '../analysis/step';
import { Question } from '../contract/question';
import { loadExtract } from '../engine/loadExtract';
import type { LoadedExtract } from '../engine/loadedExtract';
import { openNodeDatabase } from '../engine/node';
import { readExtractFiles } from '../engine/nodeFiles';
import type { ExtractOptions } from './arguments';
import { InputError, shown } from './inputError';

export type Answer = NothingToShow | (Analysis & { readonly chapters: Partial<Chapters> });

/** Loads the extract and answers the question, with the chapters asked for. `progress` gets short lines for a person who waits. */
export async function answer({ extract, question: path, chapters }: ExtractOptions, progress: (line: string) => void): Promise<Answer> {
  const question = await readQuestion(path);
  const files = (await Promise.all(extract.map(existing).map(readExtractFiles))).flat();
  const loaded = await loadExtract(openNodeDatabase, files, { onProgress: ({ label }) => { progress(label); } });
  if (loaded.status === 'refused') throw new InputError(loaded.problems.map((problem) => problem.message).join(' '));
  try {
    const options: AnalysisOptions = { onProgress: ({ label }) => { progress(label); } };
    const analysis = await analyse(loaded.extract, question, options);
    return analysis.status === 'empty' ? analysis : { ...analysis, chapters: await answered(loaded.extract, question, chapters, options) };
  } finally {
    await loaded.extract.database.close();
  }
}

async function answered(extract: LoadedExtract, question: Question, names: readonly ChapterName[], options: AnalysisOptions): Promise<Partial<Chapters>> {
  const results: [ChapterName, Chapters[ChapterName] | NothingToShow][] = [];
  for (const name of names) results.push([name, await answerChapter(extract, question, name, options)]);
  return Object.fromEntries(results);
}

/** The path itself, or the zip of that name beside it. */
function existing(path: string): string {
  const found = [path, `${path.replace(/\/+$/, '')}.zip`].find((candidate) => existsSync(candidate));
  if (found === undefined) throw new InputError(`${path}: no such folder or file`);
  return found;
}

async function readQuestion(path: string): Promise<Question> {
  if (!existsSync(path)) throw new InputError(`${path}: no such file`);
  return questionOf(basename(path), await readFile(path, 'utf8'));
}

export function questionOf(name: string, text: string): Question {
  let asked: unknown;
  try {
    asked = JSON.parse(text);
  } catch (cause) {
    throw new InputError(`${name}: not JSON: ${cause instanceof Error ? cause.message : String(cause)}`, { cause });
  }
  const result = Question.safeParse(asked);
  if (result.success) return result.data;
  const { path, message } = result.error.issues[0]!;
  const field = path.map(String).join('.');
  throw new InputError(`${name}: ${field === '' ? '' : `${field}: `}${message}: ${shown(valueAt(asked, path))}`);
}

const valueAt = (value: unknown, path: readonly PropertyKey[]): unknown =>
  path.reduce<unknown>((at, key) => (typeof at === 'object' && at !== null ? (at as Record<PropertyKey, unknown>)[key] : undefined), value);
