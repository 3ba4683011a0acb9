import { describe, expect, it } from 'vitest';
import type { Mapping } from '../../lib/contract/mapping';
import { sql } from '../../lib/engine/database';
import { loadExtract } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { checkMapping } from '../../lib/intake/checkMapping';
import type { ExtractFile } from '../../lib/intake/extractFile';
import { inspect } from '../../lib/intake/inspect';
import * as shapes from '../browser/extracts/shapes';
import { shoulderTruth } from '../browser/extracts/truth';
import { answered } from './asked';

const truth = shoulderTruth({ procedures: 400, seed: 3 });
const [registry = {}] = truth.registry;
const ownCodes: Readonly<Record<string, string>> = { 'PE Kiel': 'all_poly_keeled', 'PE Zapfen': 'all_poly_pegged' };

async function followup(files: readonly ExtractFile[], mapping?: Mapping) {
  const result = await loadExtract(openNodeDatabase, files, { mapping });
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join(' '));
  const rows = await result.extract.database.query(sql('SELECT f::VARCHAR AS row FROM (SELECT * EXCLUDE (procedure, patient) FROM followup ORDER BY ALL) f'));
  await result.extract.database.close();
  return { rows: rows.texts('row'), counts: result.report.tables.map(({ table, read, kept }) => [table, read, kept]) };
}

const brought = async (shape: keyof typeof shapes): Promise<ExtractFile[]> =>
  (await shapes[shape](truth)).map(({ name, buffer }) => ({ name, content: new Blob([new Uint8Array(buffer)]) }));

/** The mapping that is suggested, with the answers of somebody who knows the registry. */
const suggested = async (files: readonly ExtractFile[]): Promise<Mapping> => {
  const inspection = await inspect(files, new AbortController().signal);
  const mapping = answered(inspection, ({ about, path }) => {
    if (about === 'registry') return String(registry[path.split('.')[1] ?? '']);
    return about === 'codes' ? ownCodes[path.split('.codes.')[1] ?? ''] : about === 'joint' ? 'shoulder' : about === 'dates' ? 'day-month-year' : undefined;
  });
  expect(checkMapping(mapping, inspection)).toEqual([]);
  return mapping;
};

describe('one registry as different people keep it, mapped as suggested', () => {
  it.each(['dataPackage', 'foreignTables', 'wideTable', 'workbook', 'utf16Files', 'parquetTables'] as const)('%s gives the same follow-up as the data package itself', async (shape) => {
    const files = await brought(shape);
    expect((await followup(files, await suggested(files))).rows).toEqual((await followup(await brought('dataPackage'))).rows);
  }, 120_000);

  it('files that are in our form already give the same accounts with the mapping suggested for them as without', async () => {
    const files = await brought('dataPackage');
    expect(await followup(files, await suggested(files))).toEqual(await followup(files));
  }, 120_000);
});
