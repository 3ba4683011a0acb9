import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadExtract } from '../../lib/engine/loadExtract';
import type { LoadedExtract } from '../../lib/engine/loadedExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { readExtractFiles } from '../../lib/engine/nodeFiles';
import { csvFiles } from '../../sample-registry/csvFiles';
import { simulate, type SimulationOptions } from '../../sample-registry/simulate';
import type { Truth } from '../../sample-registry/truth';

/** Generates a registry, loads it, hands it over with what is true of it, and removes it again. */
export async function withSeededRegistry<R>(options: SimulationOptions, use: (extract: LoadedExtract, truth: Truth) => Promise<R>): Promise<R> {
  const folder = mkdtempSync(join(tmpdir(), 'registry-'));
  try {
    const files = csvFiles(folder);
    const truth = simulate(options, files);
    files.close();
    writeFileSync(join(folder, 'truth.json'), JSON.stringify(truth));
    const loaded = await loadExtract(openNodeDatabase, await readExtractFiles(folder));
    if (loaded.status === 'refused') throw new Error(`seed ${options.seed}: ${loaded.problems[0]?.message ?? 'refused'}`);
    try {
      return await use(loaded.extract, truth);
    } finally {
      await loaded.extract.database.close();
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
}
