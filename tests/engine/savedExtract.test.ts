import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../lib/analysis/analyse';
import { Question } from '../../lib/contract/question';
import type { OpenDatabase } from '../../lib/engine/database';
import { loadExtract, type LoadResult } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { readExtractFiles } from '../../lib/engine/nodeFiles';
import { openSaved, saveExtract, type SavedExtract } from '../../lib/engine/savedExtract';
import { setAsideCsv } from '../../lib/engine/setAsideCsv';
import { openWasmInNode } from './wasmInNode';

const files = () => readExtractFiles(fileURLToPath(new URL('../../sample-registry/extract.zip', import.meta.url)));

// What the site opens with is made by the native build, and read by the one for browsers.
describe.each<readonly [string, OpenDatabase]>([['the native engine', openNodeDatabase], ['the engine of browsers', openWasmInNode]])('the sample registry, saved after loading and opened by %s', (_, open) => {
  const folder = mkdtempSync(join(tmpdir(), 'saved-'));
  let loaded: LoadResult & { status: 'loaded' }, opened: typeof loaded, saved: SavedExtract;
  beforeAll(async () => {
    const result = await loadExtract(openNodeDatabase, await files());
    saved = await saveExtract(openNodeDatabase, await files(), join(folder, 'extract.duckdb'));
    const again = await openSaved(open, JSON.parse(JSON.stringify(saved)) as SavedExtract, new Uint8Array(readFileSync(join(folder, 'extract.duckdb'))));
    if (result.status === 'refused' || again.status === 'refused') throw new Error('the sample was refused');
    [loaded, opened] = [result, again];
  }, 120_000);
  afterAll(async () => {
    await Promise.all([loaded.extract.database.close(), opened.extract.database.close()]);
    rmSync(folder, { recursive: true });
  });

  it('reports what became of every record as the load did', () => {
    expect(opened.report).toEqual(loaded.report);
    expect(opened.extract.source).toEqual(loaded.extract.source);
  });
  it('answers a question with the same numbers', async () => {
    const question = Question.parse({ adjust: ['age', 'sex'], strata: ['hospital'] });
    expect(await analyse(opened.extract, question)).toEqual(await analyse(loaded.extract, question));
  }, 120_000);
  it('lists what was set aside row by row', async () => {
    const listed = async ({ extract: { database } }: typeof loaded): Promise<string> => {
      let text = '';
      for await (const piece of setAsideCsv(database)) text += piece;
      return text;
    };
    expect(await listed(opened)).toBe(await listed(loaded));
  });
  it('reads nothing from outside', async () => {
    await expect(opened.extract.database.query({ sql: "SELECT count(*) FROM read_csv('/etc/hostname')", params: [] })).rejects.toThrow(/disabled|not allowed|Permission/i);
  });
});
