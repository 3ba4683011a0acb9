import { fileURLToPath } from 'node:url';
import { loadExtract } from '@/lib/engine/loadExtract';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { openNodeDatabase } from '@/lib/engine/node';
import { readExtractFiles } from '@/lib/engine/nodeFiles';

const path = fileURLToPath(new URL('../../sample-registry/extract.zip', import.meta.url));

/** The committed extract of the sample registry, loaded. Everything in it is invented. */
export async function loadSample(): Promise<LoadedExtract> {
  const loaded = await loadExtract(openNodeDatabase, await readExtractFiles(path));
  if (loaded.status === 'refused') throw new Error(loaded.problems.map((problem) => problem.message).join('\n'));
  return loaded.extract;
}
