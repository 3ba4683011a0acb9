import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadExtract } from '../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { readExtractFiles } from '../../lib/engine/nodeFiles';
import { csvFiles } from '../../sample-registry/csvFiles';
import { simulate } from '../../sample-registry/simulate';
import type { Truth } from '../../sample-registry/truth';

/** A registry of this seed and size, made, loaded, worked on and thrown away. */
export async function withRegistry<T>(seed: number, procedures: number, work: (extract: LoadedExtract, truth: Truth) => Promise<T>): Promise<T> {
  const folder = mkdtempSync(join(tmpdir(), 'registry-'));
  try {
    const files = csvFiles(folder);
    const truth = simulate({ procedures, seed }, files);
    files.close();
    const loaded = await loadExtract(openNodeDatabase, await readExtractFiles(folder));
    if (loaded.status === 'refused') throw new Error(`seed ${seed}: ${loaded.problems[0]?.message ?? 'refused'}`);
    try {
      return await work(loaded.extract, truth);
    } finally {
      await loaded.extract.database.close();
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
}
