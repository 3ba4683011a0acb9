import { existsSync } from 'node:fs';
import { basename } from 'node:path';
import type { AnalysisOptions } from '../analysis/step';
import { Mapping } from '../contract/mapping';
import { loadExtract } from '../engine/loadExtract';
import type { LoadedExtract } from '../engine/loadedExtract';
import { openNodeDatabase } from '../engine/node';
import { readExtractFiles } from '../engine/nodeFiles';
import { InputError } from './inputError';
import { existingText, parsed } from './questionFile';

export interface ExtractPaths {
  readonly extract: readonly string[];
  readonly mapping?: string | undefined; // of a JSON file
}

/** Loads the extract, lets it be worked on, and closes it. `progress` gets short lines for a person who waits. */
export async function withExtract<T>(
  { extract: paths, mapping: mappingPath }: ExtractPaths, progress: (line: string) => void, work: (extract: LoadedExtract, options: AnalysisOptions) => Promise<T>,
): Promise<T> {
  const onProgress = ({ label }: { readonly label: string }): void => { progress(label); };
  const files = (await Promise.all(paths.map(existing).map(readExtractFiles))).flat();
  const mapping = mappingPath === undefined ? undefined : parsed(Mapping, basename(mappingPath), await existingText(mappingPath));
  const loaded = await loadExtract(openNodeDatabase, files, { onProgress, mapping });
  if (loaded.status === 'refused') throw new InputError(loaded.problems.map((problem) => problem.message).join(' '));
  try {
    return await work(loaded.extract, { onProgress });
  } finally {
    await loaded.extract.database.close();
  }
}

/** The path itself, or the zip of that name beside it. */
function existing(path: string): string {
  const found = [path, `${path.replace(/\/+$/, '')}.zip`].find((candidate) => existsSync(candidate));
  if (found === undefined) throw new InputError(`${path}: no such folder or file`);
  return found;
}
