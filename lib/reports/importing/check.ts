import { finishedMapping } from '../../contract/editMapping';
import { checkMapping } from '../../intake/checkMapping';
import type { MappingProblem } from '../../intake/suggestion';
import type { Mapping } from '../../contract/mapping';
import type { Draft } from './draft';
import { fieldWords, recordsWords, sourceName } from './words';

// in place of one that is not yet whole: without it nothing else would be checked
const anyRegistry: Mapping['registry'] = { name: '?', version: '?', opened: '1900-01-01', closing_date: '1900-01-01', deaths_closing_date: '1900-01-01', coverage_percent: null };

/** What does not fit between the mapping and the files, by the paths of the draft. */
export function problemsOf({ sources, mapping }: Draft): readonly MappingProblem[] {
  if (sources.length === 0) return [];
  const positions = mapping.sources.flatMap(({ tables }, s) => (tables.length === 0 ? [] : [s])); // in the draft, of those that hold something
  const { registry } = mapping, isWhole = Object.values(registry).every((value) => value !== '');
  const checked = checkMapping({ ...finishedMapping(mapping), registry: isWhole ? registry : anyRegistry }, { sources, problems: [] });
  return checked.filter(({ path }) => isWhole || !path.startsWith('registry')).map(({ path, ...problem }) => {
    const at = /^sources\.(\d+)/.exec(path)?.[1];
    return at === undefined ? { path, ...problem } : { path: path.replace(/^sources\.\d+/, `sources.${positions[Number(at)] ?? at}`), ...problem };
  });
}

/** `sources.0.tables.1.fields.side.codes` of a mapping → `Re-operations, ops.csv, Side`. */
export function placeWords({ sources }: Mapping, path: string): string {
  const [, s, t, field] = /^sources\.(\d+)(?:\.tables\.(\d+)(?:\.fields\.([a-z_]+))?)?/.exec(path) ?? [];
  const source = sources[Number(s)], table = source?.tables[Number(t)];
  if (source === undefined) return '';
  return [...(table === undefined ? [] : [recordsWords(table)]), sourceName(source), ...(field === undefined ? [] : [fieldWords({ name: field })])].join(', ');
}
