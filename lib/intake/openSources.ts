import type { Mapping, SourceMapping } from '../contract/mapping';
import type { RowTable } from './binary/rowTable';
import { openRowTables } from './binary/rowTable';
import { describeRows } from './binary/inspectRows';
import { checkMapping } from './checkMapping';
import type { ExtractFile } from './extractFile';
import type { FoundSource } from './inspection';
import { problem, Refusal } from './refusal';
import { fitsPattern } from './suggest/filePatterns';
import { inspectText } from './text/inspectText';
import { tableText, type TableText } from './text/tableText';
import { unpack, type UnpackedFile } from './unpack';

/** A file, or a sheet of one, that a mapping reads, opened and known to have what the mapping asks of it. */
export interface OpenedSource {
  readonly id: string; // unique among the sources of a load
  readonly file: UnpackedFile;
  readonly shownAs: string; // the file's name, with that of the sheet
  readonly mapping: SourceMapping;
  readonly names: readonly string[]; // of the columns, in the order of the file
  readonly text: TableText | null;
  readonly rows: RowTable | null;
}

/**
 * Opens what a mapping reads of the files. Throws a Refusal that names all that stands in the way: what is wrong with the mapping for these
 * files (`field` is the path in the mapping), and files that can't be read. Files that it does not name are left alone.
 */
export async function openSources(given: readonly ExtractFile[], mapping: Mapping, signal: AbortSignal): Promise<{ readonly sources: readonly OpenedSource[]; readonly ignored: readonly string[] }> {
  const ignored: string[] = [];
  const { files, problems } = await unpack(given, signal, (name) => {
    const wanted = mapping.sources.some(({ file }) => fitsPattern(file, name));
    if (!wanted) ignored.push(name);
    return wanted;
  });
  if (problems.length > 0) throw new Refusal(problems);
  const looked: { readonly found: FoundSource; readonly file: UnpackedFile; readonly rows: RowTable | null }[] = [];
  for (const file of files) {
    const layout = mapping.sources.find((source) => fitsPattern(source.file, file.name))?.layout ?? null;
    if (file.format === 'text') looked.push({ found: await inspectText(file, signal, layout), file, rows: null });
    else for (const rows of await openRowTables(file, signal)) looked.push({ found: await describeRows(file, rows, signal), file, rows });
  }
  const wrong = checkMapping(mapping, { sources: looked.map(({ found }) => found), problems: [] }).filter(({ blocks }) => blocks);
  if (wrong.length > 0) throw new Refusal(wrong.map(({ path, message }) => problem('mapping', message, { file: 'the mapping', field: path })));
  const sources: OpenedSource[] = [];
  for (const source of mapping.sources) {
    const of = looked.filter(({ found }) => fitsPattern(source.file, found.file) && (source.sheet === null || source.sheet === found.sheet));
    for (const { file, rows } of [...of].sort((a, b) => (a.file.name < b.file.name ? -1 : 1))) {
      const shownAs = rows?.sheet === null || rows === null ? file.name : `${file.name}, sheet ${rows.sheet}`;
      if (rows !== null && rows.unfit !== null) throw new Refusal([problem('unfit_sheet', rows.unfit, { file: shownAs })]);
      const text = source.layout === null ? null : await tableText(file, source.layout, signal);
      sources.push({ id: `source ${sources.length}`, file, shownAs, mapping: source, names: text?.names ?? rows?.names ?? [], text, rows });
    }
  }
  return { sources, ignored };
}
