import canonicalize from 'canonicalize';
import { fieldsOf } from '../../contract/fields';
import { formIssues } from '../../contract/issues';
import { Mapping } from '../../contract/mapping';
import type { TableName } from '../../contract/tables';
import type { ExtractFile } from '../../intake/extractFile';
import { openSources } from '../../intake/openSources';
import { problem, Refusal } from '../../intake/refusal';
import { quoteName, quoteText } from '../database';
import type { FoundTables } from './findTables';
import { recordsIn } from './memoryForecast';
import type { OpenTable } from './openTables';
import { inOnePass, readMapped } from './readMapped';
import type { MappedPart } from './stagePiece';
import { createStaging, settleCells, stageTable } from './stageTable';

/** What a load goes on with: how to read each table, and the files of the fingerprint. */
export interface Opened {
  readonly tables: ReadonlyMap<TableName, OpenTable>;
  readonly files: readonly ExtractFile[];
  readonly bytes: ReadonlyMap<TableName, number>; // to be read for each table
  readonly records: ReadonlyMap<TableName, number>; // about how many there are, told before they are read
  readonly found: Pick<FoundTables, 'ignoredFiles' | 'notes'>;
}

/** Beside another table in one file, these are told of some of its rows only: about so many for each, rather more than registries have. */
const ofSomeRows: Partial<Record<TableName, number>> = { revisions: 0.25, deaths: 0.5 };

/** Opens files of any form by a mapping. Throws a Refusal that says all that does not fit. The mapping belongs to the fingerprint, as canonical JSON (RFC 8785). */
export async function openMapped(files: readonly ExtractFile[], given: Mapping, signal: AbortSignal): Promise<Opened> {
  const parsed = Mapping.safeParse(given);
  if (!parsed.success) throw new Refusal(formIssues(parsed.error).map(({ path, message }) => problem('mapping', message, { file: 'the mapping', field: path.map(String).join('.') })));
  const mapping = parsed.data;
  const { sources, ignored } = await openSources(files, mapping, signal);
  const parts = sources.flatMap((source): readonly MappedPart[] => [...new Set(source.mapping.tables.map(({ table }) => table))].map((table, i) =>
    ({ table, source, mappings: source.mapping.tables.filter((each) => each.table === table), first: i === 0 })));
  const records = new Map<TableName, number>(), bytes = new Map<TableName, number>();
  for (const part of parts) {
    const { table, source, mappings, first } = part, rows = source.rows?.rows ?? await recordsIn(source.file.content, 'csv');
    records.set(table, (records.get(table) ?? 0) + (first ? mappings.length * rows : rows * (ofSomeRows[table] ?? mappings.length)));
    bytes.set(table, (bytes.get(table) ?? 0) + (inOnePass(parts, part)[0] === part ? source.file.content.size : 0));
  }
  const text = canonicalize(mapping) ?? '';
  return {
    tables: new Map([['registry', readRegistryRow(mapping.registry)], ...readMapped(parts)]), files: [...new Set(sources.map(({ file }) => file)), { name: 'mapping.json', content: new Blob([text]) }],
    bytes, records, found: { ignoredFiles: ignored, notes: [] },
  };
}

/** The one row of `registry` comes from the mapping itself. */
function readRegistryRow(row: Mapping['registry']): OpenTable {
  return async (database) => {
    const fields = fieldsOf('registry').map(({ name }) => name);
    const cell = (name: string): string => { const value = row[name as keyof typeof row]; return value === null ? 'NULL' : quoteText(String(value)); };
    await createStaging(database, 'registry', new Set(fields));
    await stageTable(database, 'registry', `(SELECT 0 AS record, ${fields.map((name) => `${cell(name)} AS ${quoteName(name)}`).join(', ')})`, { fields: new Set(fields) });
    await settleCells(database, 'registry');
    return { table: 'registry', fields: new Set(fields), file: 'the mapping', countedIn: 'rows', read: 1, ignoredColumns: [], missingColumns: [] };
  };
}
