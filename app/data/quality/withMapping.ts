import type { Mapping } from '../../../lib/contract/mapping';
import { readMapping } from '../../../lib/reports/importing/mappingFile';

interface Brought { readonly files: readonly File[]; readonly mapping: Mapping | null; readonly problems: readonly string[] }

/** Takes the mapping out of the files that were chosen, where there is one: JSON that does not describe a data package. */
export async function withMapping(chosen: readonly File[]): Promise<Brought> {
  const mappings = chosen.filter(({ name }) => /\.json$/i.test(name) && name.toLowerCase() !== 'datapackage.json'), [first] = mappings;
  const files = chosen.filter((file) => !mappings.includes(file));
  if (first === undefined) return { files, mapping: null, problems: [] };
  if (mappings.length > 1) return { files, mapping: null, problems: [`More than one mapping was chosen: ${mappings.map(({ name }) => name).join(', ')}.`] };
  const read = readMapping(await first.text());
  return read.status === 'opened' ? { files, mapping: read.mapping, problems: [] } : { files, mapping: null, problems: read.problems.map((problem) => `${first.name}: ${problem}`) };
}
