import { fileURLToPath } from 'node:url';
import { loadExtract } from '@/lib/engine/loadExtract';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { openNodeDatabase } from '@/lib/engine/node';
import { readExtractFiles } from '@/lib/engine/nodeFiles';
import type { ExtractFile } from '@/lib/intake/extractFile';
import { openArchive } from '@/lib/intake/unzip';

const zip = fileURLToPath(new URL('../../sample-registry/extract.zip', import.meta.url));

export const regions = ['Capital', 'Coast', 'Highlands', 'Lakes', 'North'] as const;

/** The tables of the sample as a registry of each region would have them. No patient was operated in two regions; no cell of these files is quoted. */
export async function fiveRegistries(): Promise<ReadonlyMap<string, readonly ExtractFile[]>> {
  const archive = await openArchive((await readExtractFiles(zip))[0]!), { signal } = new AbortController();
  const lines = async (table: string): Promise<readonly string[]> => {
    const name = archive.names.find((path) => path.endsWith(`${table}.csv`))!;
    return (await (await archive.open(name, signal)).content.text()).trimEnd().split('\n');
  };
  const procedures = await lines('procedures'), header = procedures[0]!.split(','), at = (name: string) => header.indexOf(name);
  const regionOf = new Map<string, string>();
  for (const line of procedures.slice(1)) {
    const cells = line.split(',');
    for (const key of ['procedure_id', 'patient_id']) regionOf.set(cells[at(key)]!, cells[at('region')]!);
  }
  const files = new Map<string, ExtractFile[]>(regions.map((region) => [region, []]));
  for (const table of ['registry', 'models', 'deaths', 'procedures', 'revisions', 'components', 'followups']) {
    const [head, ...rows] = await lines(table), names = head!.split(',');
    const keys = ['procedure_id', 'patient_id'].map((key) => names.indexOf(key)).filter((i) => i >= 0);
    const isShared = keys.length === 0;
    const own = new Map<string, string[]>(regions.map((region) => [region, []]));
    for (const row of rows) {
      if (isShared) { for (const region of regions) own.get(region)!.push(table === 'registry' ? row.replace(/^[^,]*/, `Registry of ${region} (invented)`) : row); continue; }
      const cells = row.split(','), known = keys.map((key) => regionOf.get(cells[key]!)).find((region) => region !== undefined);
      own.get(known ?? regions[0])!.push(row);
    }
    for (const region of regions) files.get(region)!.push({ name: `${table}.csv`, content: new Blob([[head, ...own.get(region)!, ''].join('\n')]) });
  }
  return files;
}

export async function loaded(files: readonly ExtractFile[]): Promise<LoadedExtract> {
  const result = await loadExtract(openNodeDatabase, files);
  if (result.status === 'refused') throw new Error(result.problems.map(({ message }) => message).join('\n'));
  return result.extract;
}
