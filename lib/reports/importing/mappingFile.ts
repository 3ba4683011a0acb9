import canonicalize from 'canonicalize';
import { Mapping } from '../../contract/mapping';
import { finishedMapping } from '../../contract/editMapping';

/** The mapping as a file: canonical order of keys, indented. Holds names of columns, codes and settings, and no record. */
export const mappingFile = (mapping: Mapping): string => `${JSON.stringify(JSON.parse(canonicalize(finishedMapping(mapping)) ?? 'null'), null, 2)}\n`;

/** `sources.0.tables.1.fields.side` → `source 1, table 2, field side`. */
export function pathWords(path: readonly PropertyKey[] | string): string {
  const parts = typeof path === 'string' ? path.split('.') : path.map(String);
  const singular: Readonly<Record<string, string>> = { sources: 'source', tables: 'table', fields: 'field', codes: 'code', missing: 'missing value' };
  const words: string[] = [];
  for (let i = 0; i < parts.length; ++i) {
    const part = parts[i] ?? '', next = parts[i + 1], name = singular[part];
    if (name === undefined || next === undefined) words.push(part);
    else {
      words.push(`${name} ${/^\d+$/.test(next) && part !== 'codes' ? String(Number(next) + 1) : next}`);
      ++i;
    }
  }
  return words.join(', ');
}

export type OpenedMapping = { readonly status: 'opened'; readonly mapping: Mapping } | { readonly status: 'refused'; readonly problems: readonly string[] };

const mostProblems = 8;

/** Reads the text of a mapping file; what is wrong is said with its place. */
export function readMapping(text: string): OpenedMapping {
  let content: unknown;
  try {
    content = JSON.parse(text);
  } catch (error) {
    return { status: 'refused', problems: [`The file is not JSON (${error instanceof Error ? error.message : String(error)}).`] };
  }
  const parsed = Mapping.safeParse(content);
  if (parsed.success) return { status: 'opened', mapping: parsed.data };
  const { issues } = parsed.error;
  const said = issues.slice(0, mostProblems).map(({ path, message }) => `${path.length === 0 ? 'The file' : pathWords(path)}: ${message}.`);
  return { status: 'refused', problems: issues.length > mostProblems ? [...said, `And ${issues.length - mostProblems} more.`] : said };
}
