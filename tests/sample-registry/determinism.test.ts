import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { strFromU8, unzipSync } from 'fflate';
import { describe, expect, it } from 'vitest';
import { tableNames } from '@/lib/contract/fields';
import { csvSink } from '@/sample-registry/csvFiles';
import { simulate } from '@/sample-registry/simulate';
import type { Truth } from '@/sample-registry/truth';

function fingerprints(procedures: number, seed: number, chunkRows?: number): { files: Record<string, string>; truth: Truth } {
  const hashes = Object.fromEntries(tableNames.map((table) => [table, createHash('sha256')]));
  const sink = csvSink((table, text) => { hashes[table]!.update(text); }, chunkRows);
  const truth = simulate({ procedures, seed }, sink);
  sink.flush();
  return { files: Object.fromEntries(tableNames.map((table) => [table, hashes[table]!.digest('hex')])), truth };
}

const here = (file: string) => new URL(`../../sample-registry/${file}`, import.meta.url);

describe('a seed stands for one extract', () => {
  it('gives the same bytes again, whatever the size of a chunk', () => {
    const once = fingerprints(2000, 7);
    expect(fingerprints(2000, 7)).toEqual(once);
    expect(fingerprints(2000, 7, 1)).toEqual(once);
    expect(fingerprints(2000, 7, 777)).toEqual(once);
  });

  it('gives other patients for another seed', () => {
    const [one, other] = [fingerprints(500, 1), fingerprints(500, 2)];
    for (const table of ['procedures', 'components', 'revisions', 'deaths'] as const) expect(other.files[table]).not.toBe(one.files[table]);
  });

  it('is the committed extract for 40,000 procedures of seed 1', () => {
    const { files, truth } = fingerprints(40_000, 1);
    const committed = unzipSync(readFileSync(here('extract.zip')));
    for (const table of tableNames) {
      expect(createHash('sha256').update(committed[`${table}.csv`]!).digest('hex'), table).toBe(files[table]);
    }
    expect(JSON.parse(readFileSync(here('truth.json'), 'utf8'))).toEqual(JSON.parse(JSON.stringify(truth)));
    expect(strFromU8(committed['registry.csv']!)).toContain('sample-40000-seed-1');
    expect(strFromU8(committed['datapackage.json']!)).toBe(readFileSync(here('datapackage.json'), 'utf8'));
  });
});
