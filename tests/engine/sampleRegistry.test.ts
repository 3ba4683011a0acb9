import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';
import { loadExtract } from '../../lib/engine/loadExtract';
import { readExtractFiles } from '../../lib/engine/nodeFiles';
import { plantedErrorCounts } from '../../sample-registry/plantedErrors';
import { engines } from './engines';

it.each(engines)('the sample registry: the planted errors are found, each of them, and nothing else but their components, $engine', async ({ open }) => {
  const result = await loadExtract(open, await readExtractFiles(fileURLToPath(new URL('../../sample-registry/extract.zip', import.meta.url))));
  if (result.status === 'refused') throw new Error(result.problems[0]?.message);
  const { rules, tables, ignoredFiles } = result.report;
  const planted = rules.filter(({ rule }) => rule !== 'procedure_set_aside');
  expect(Object.fromEntries(planted.map(({ rule, count }) => [rule, count]))).toEqual(plantedErrorCounts);
  expect(planted.map(({ table, rule, field }) => [table, rule, field].join(' ')).sort()).toEqual([
    'components not_in_catalogue model_code', 'procedures after_death procedure_date', 'procedures duplicate_key procedure_id',
    'procedures out_of_range age_years', 'procedures second_primary side', 'procedures unknown_code class',
    'revisions before_procedure revision_date', 'revisions no_primary procedure_id',
  ]);
  expect(rules.filter(({ rule }) => rule === 'procedure_set_aside').map(({ table }) => table)).toEqual(['components']);
  for (const { read, kept, setAside } of tables) expect(read).toBe(kept + setAside);
  expect(ignoredFiles).toEqual([]);
  await result.extract.database.close();
}, 120_000);
