import { tableFromArrays, tableToIPC } from 'apache-arrow';
import { gzipSync, unzipSync, zipSync } from 'fflate';
import writeExcel from 'write-excel-file/node';
import { fieldsOf } from '../../../lib/contract/fields';
import { mappableTables, type Mapping, type SourceMapping, type TextLayout } from '../../../lib/contract/mapping';
import type { TableName } from '../../../lib/contract/tables';
import type { ExtractFile } from '../../../lib/intake/extractFile';
import type { RandomStream } from '../../../sample-registry/random';
import type { Bytes } from './byteMutations';
import { fileOf, mutated, parquetOf } from './containerMutations';
import { gridMutations } from './gridMutations';
import { bytesOf, csvOf, type Cell, type Grid, type Grids } from './seedExtract';

/** Files in a form of their own, with the mapping by which they are loaded; either may be wrong. */
export interface Mapped { readonly files: readonly ExtractFile[]; readonly mapping: Mapping }
export type MappedMutation = (grids: Grids, random: RandomStream) => Promise<Mapped>;

type Part = Omit<SourceMapping['tables'][number], 'table'> & { readonly table: TableName };
type Written = (name: string, grid: Grid, random: RandomStream, wrong: boolean) => Promise<ExtractFile>;

const stays = Object.values(gridMutations).filter(({ movesKeys }) => movesKeys === undefined);
const plain: TextLayout = { encoding: 'utf-8', delimiter: ',', decimal: '.', headerLine: 1 };

/** Every column of the table by its own name. */
const identity = (table: TableName, days: boolean): Part => ({
  table, when: null, unless: [],
  fields: Object.fromEntries(fieldsOf(table).map(({ name, kind }) => [name, { column: name, missing: [], ...(days && kind === 'date' && { dates: 'year-month-day' as const }) }])),
});
const mappingOf = (grids: Grids, sources: readonly { readonly file: string; readonly layout: TextLayout | null; readonly tables: readonly Part[] }[]): Mapping => {
  const registry = grids.get('registry'), row = Object.fromEntries(registry?.header.map((name, i) => [name, registry.rows[0]?.[i] ?? null]) ?? []);
  return { mapping: 1, registry: row, sources: sources.map((source) => ({ sheet: null, ...source })) } as unknown as Mapping;
};

/** A file for each table; the grids are made wrong, or the bytes of one of the files. */
const tables = (ending: string, layout: TextLayout | null, write: Written): MappedMutation => async (whole, random) => {
  const inBytes = random.chance(0.6), grids = inBytes ? whole : random.one(stays).change(whole, random);
  const given = [...grids].filter(([table, { rows }]) => (mappableTables as readonly string[]).includes(table) && (layout !== null || rows.length > 0));
  const target = random.chance(0.5) ? 'procedures' : random.one(given.map(([table]) => table));
  const files = await Promise.all(given.map(([table, grid]) => write(`${table}.${ending}`, grid, random, inBytes && table === target)));
  return { files, mapping: mappingOf(whole, given.map(([table]) => ({ file: `${table}.${ending}`, layout, tables: [identity(table, true)] }))) };
};

const delimited = ({ header, rows }: Grid, mark: string): string =>
  [header, ...rows].map((cells) => `${cells.map((cell) => (cell === null ? '' : `"${String(cell).replaceAll('"', '""')}"`)).join(mark)}\n`).join('');
const text = (encode: (text: string) => Bytes, mark: string): Written => (name, grid, random, wrong) => {
  const bytes = encode(delimited(grid, mark));
  return Promise.resolve(fileOf(name, wrong ? mutated(bytes, random) : bytes));
};
const oneByte = (string: string): Bytes => Uint8Array.from(string, (letter) => Math.min(255, letter.codePointAt(0) ?? 63));
const twoBytes = (string: string): Bytes => {
  const units = new Uint16Array(string.length);
  for (let i = 0; i < units.length; i++) units[i] = string.charCodeAt(i);
  return new Uint8Array(units.buffer);
};

const gzipped: Written = (name, grid, random, wrong) => {
  const inside = random.chance(0.5), bytes = bytesOf(csvOf(grid)), packed = new Uint8Array(gzipSync(wrong && inside ? mutated(bytes, random) : bytes));
  return Promise.resolve(fileOf(`${name}.gz`, wrong && !inside ? mutated(packed, random) : packed));
};

const asCell = (cell: Cell): { readonly value: string } | null => (cell === null || cell === '' ? null : { value: String(cell).replace(/[\u0000-\u001F\uFFFE\uFFFF]/g, ' ').slice(0, 30_000) });
const workbook: Written = async (name, { header, rows }, random, wrong) => {
  const sheet = [header, ...rows].map((cells) => header.map((_, i) => asCell(cells[i] ?? null)));
  const bytes = new Uint8Array(await writeExcel(sheet).toBuffer());
  if (!wrong) return fileOf(name, bytes);
  if (random.chance(0.3)) return fileOf(name, mutated(bytes, random));
  const parts = unzipSync(bytes), part = random.one(Object.keys(parts).filter((path) => path.startsWith('xl/')));
  return fileOf(name, new Uint8Array(zipSync({ ...parts, [part]: mutated(new Uint8Array(parts[part]!), random) })));
};

const arrow: Written = (name, { header, rows }, random, wrong) => {
  const columns = Object.fromEntries(header.map((column, i) => [column, rows.map((cells) => (cells[i] === null || cells[i] === undefined ? null : String(cells[i])))]));
  const bytes = new Uint8Array(tableToIPC(tableFromArrays(columns), random.one(['file', 'stream'] as const)));
  return Promise.resolve(fileOf(name, wrong ? mutated(bytes, random) : bytes));
};
const parquet: Written = (name, { header, rows }, random, wrong) => {
  const bytes = parquetOf(header, rows, random);
  return Promise.resolve(fileOf(name, wrong ? mutated(bytes, random) : bytes));
};

/** A row for each procedure, with its first re-operation beside it. */
const wide: MappedMutation = (grids, random) => {
  const procedures = grids.get('procedures')!, revisions = grids.get('revisions')!, own = ['revision_date', 'kind', 'reasons', 'components_removed'];
  const key = procedures.header.indexOf('procedure_id'), of = revisions.header.indexOf('procedure_id');
  const first = (id: unknown): Grid['rows'][number] | undefined => revisions.rows.find((cells) => cells[of] === id);
  const grid = { header: [...procedures.header, ...own], rows: procedures.rows.map((cells) => [...cells, ...own.map((name) => first(cells[key])?.[revisions.header.indexOf(name)] ?? null)]) };
  const changed = random.chance(0.5) ? random.one(stays).change(new Map([['procedures' as const, grid]]), random).get('procedures') ?? grid : null;
  const bytes = bytesOf(csvOf(changed ?? grid)), revision = identity('revisions', true);
  const fields = Object.fromEntries(Object.entries(revision.fields).filter(([name]) => own.includes(name) || name === 'procedure_id'));
  return Promise.resolve({
    files: [fileOf('wide.csv', changed === null ? mutated(bytes, random) : bytes)],
    mapping: mappingOf(grids, [{ file: 'wide.csv', layout: plain, tables: [identity('procedures', true), { ...revision, when: 'revision_date', fields }] }]),
  });
};

/** Changes something in a mapping that fits: any value at any depth. */
function changedSomewhere(value: unknown, random: RandomStream): unknown {
  if (typeof value === 'object' && value !== null && !random.chance(0.05)) {
    const entries = Object.entries(value) as [string, unknown][];
    if (entries.length > 0) {
      const [name, inner] = random.one(entries), rest = entries.filter(([other]) => other !== name);
      if (random.chance(0.05)) return Array.isArray(value) ? rest.map(([, each]) => each) : Object.fromEntries(rest);
      const changed = [...entries].map(([other, each]) => [other, other === name ? changedSomewhere(inner, random) : each] as const);
      return Array.isArray(value) ? changed.map(([, each]) => each) : Object.fromEntries(changed);
    }
  }
  return random.one<unknown>([null, '', 7, -1, 'x', [], {}, true, '2010-02-30', ';', 'utf-16le', 'procedure_date', 'side', 'procedures', '*', '__proto__', 'revisions', 1e9, '\'; --', { constant: 'left' }, { column: 'side' }]);
}
const otherMapping: MappedMutation = async (grids, random) => {
  const { files, mapping } = await (random.chance(0.5) ? wide(grids, random) : tables('csv', plain, (name, grid) => Promise.resolve(fileOf(name, bytesOf(csvOf(grid)))))(grids, random));
  let changed: unknown = mapping;
  for (let n = 1 + random.integer(3); n > 0; n--) changed = changedSomewhere(changed, random);
  return { files, mapping: changed as Mapping }; // as a file gives it: the load has to check it
};

export const mappedMutations: Readonly<Record<string, MappedMutation>> = {
  'by a mapping: semicolons': tables('csv', { ...plain, delimiter: ';' }, text(bytesOf, ';')),
  'by a mapping: tabs': tables('tsv', { ...plain, delimiter: '\t' }, text(bytesOf, '\t')),
  'by a mapping: Latin-1': tables('txt', { ...plain, encoding: 'windows-1252', delimiter: ';' }, text(oneByte, ';')),
  'by a mapping: UTF-16': tables('csv', { ...plain, encoding: 'utf-16le' }, text(twoBytes, ',')),
  'by a mapping: gzip': tables('csv', plain, gzipped),
  'by a mapping: workbooks': tables('xlsx', null, workbook),
  'by a mapping: Arrow': tables('arrow', null, arrow),
  'by a mapping: Parquet': tables('parquet', null, parquet),
  'by a mapping: one wide file': wide,
  'by a mapping that is wrong': otherMapping,
};
