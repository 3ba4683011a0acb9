import { readFileSync } from 'node:fs';
import { strFromU8, unzipSync } from 'fflate';
import type { TableName } from '@/lib/contract/tables';
import type { ExtractFile } from '@/lib/intake/extractFile';
import { loadExtract } from '@/lib/engine/loadExtract';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { openNodeDatabase } from '@/lib/engine/node';

export type Cells = Record<string, string>;
export type Tables = Record<TableName, Cells[]>;

/** The committed sample registry by table. Its cells hold no comma and no quote, but for the name of the registry, which is left alone. */
export function sampleTables(): Tables {
  const files = unzipSync(new Uint8Array(readFileSync(new URL('../../sample-registry/extract.zip', import.meta.url))));
  return Object.fromEntries(Object.entries(files).filter(([name]) => name.endsWith('.csv')).map(([name, bytes]) => {
    const [header, ...lines] = strFromU8(bytes).trimEnd().split('\n').map((line) => line.split(','));
    return [name.replace(/^.*\//, '').replace('.csv', ''), lines.map((cells) => Object.fromEntries(header!.map((field, i) => [field, cells[i] ?? ''])))];
  })) as Tables;
}

export const csvOf = (rows: readonly Cells[]): string => [Object.keys(rows[0]!).join(','), ...rows.map((row) => Object.values(row).join(',')), ''].join('\n');
export const filesOf = (tables: Tables): ExtractFile[] => Object.entries(tables).map(([name, rows]) => ({ name: `${name}.csv`, content: new Blob([csvOf(rows)]) }));

export async function load(tables: Tables): Promise<LoadedExtract> {
  const loaded = await loadExtract(openNodeDatabase, filesOf(tables));
  if (loaded.status === 'refused') throw new Error(loaded.problems.map(({ message }) => message).join('\n'));
  return loaded.extract;
}

/** An older version of the sample: without 50 of its procedures, with 10 other days of surgery, and with 5 re-operations on the other side. */
export function olderVersion(): { readonly tables: Tables; readonly relinked: readonly string[] } {
  const tables = sampleTables(), revised = new Set(tables.revisions.map((r) => r['patient_id'])), used = new Map<string, Cells[]>();
  const untouched = tables.procedures.filter((p, i) => i > 1000 && i < 30_000 && !revised.has(p['patient_id']));
  const gone = new Set(untouched.filter((_, i) => i % 40 === 0).slice(0, 50).map((p) => p['procedure_id']));
  for (const p of untouched.filter((_, i) => i % 40 === 7).slice(0, 10)) p['procedure_date'] = `${p['procedure_date']!.slice(0, 8)}${p['procedure_date']!.endsWith('11') ? '12' : '11'}`;
  for (const p of tables.procedures) used.set(p['patient_id']!, [...(used.get(p['patient_id']!) ?? []), p]);
  const relinked: string[] = [];
  for (const r of tables.revisions) {
    const other = (used.get(r['patient_id']!) ?? []).find((p) => p['procedure_id'] !== r['procedure_id'] && p['side'] !== r['side'] && p['joint'] === r['joint'] && p['procedure_date']! < r['revision_date']!);
    if (relinked.length === 5 || other === undefined || r['procedure_id'] === '' || tables.revisions.filter((q) => q['patient_id'] === r['patient_id']).length > 1) continue;
    Object.assign(r, { procedure_id: other['procedure_id'], side: other['side'] });
    relinked.push(r['revision_id']!);
  }
  tables.procedures = tables.procedures.filter((p) => !gone.has(p['procedure_id']));
  tables.components = tables.components.filter((c) => !gone.has(c['procedure_id']));
  tables.followups = tables.followups.filter((v) => !gone.has(v['procedure_id']));
  tables.registry[0]!['version'] = 'older';
  return { tables, relinked };
}
