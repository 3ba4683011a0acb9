import type { TableName } from '../../contract/tables';
import { sql, type Database } from '../../engine/database';
import { labelOf } from '../../contract/codes';
import { lineFinder, type Place } from './lineFinder';
import { enumLabels, type VersionColumn } from './versionColumns';

/** A record that is in one version only, or differs in a field. `field` null: the whole record. Places are in each version's own files. */
export interface Difference {
  readonly what: 'added' | 'removed' | 'changed';
  readonly field: string | null; // its label
  readonly older: Place | null;
  readonly newer: Place | null;
}

export interface FieldChange {
  readonly name: string;
  readonly label: string;
  readonly changed: number;
  /** From what to what, most first; empty where that is not told. */
  readonly moves: readonly { readonly from: string; readonly to: string; readonly count: number }[];
}

export interface TableChange {
  readonly older: number; // kept records
  readonly newer: number;
  readonly added: number;
  readonly removed: number;
  readonly changed: number; // records that differ in any field
  readonly fields: readonly FieldChange[]; // those that changed
  /** The first of each kind, in the order of the newer version. */
  readonly differences: readonly Difference[];
}

export interface VersionTable {
  readonly table: TableName;
  readonly key: string; // SQL of the key
  readonly record: string; // SQL of its number in the files
  readonly from: string; // what follows FROM
  readonly columns: readonly VersionColumn[];
}

const rowsAtOnce = 250_000, keptOfEach = 20_000;
const notRecorded = 'not recorded';

/**
 * What became of the records of one table between two versions of an extract, by their keys. Each version stays in its own database; rows come
 * out in pieces, by a hash of the key, so that memory is bounded whatever the size.
 */
export async function compareTable(older: Database, newer: Database, { table, key, record, from, columns }: VersionTable, signal?: AbortSignal): Promise<TableChange> {
  const labels = await labelsOf(older, newer, columns);
  const finders = [await lineFinder(older, table), await lineFinder(newer, table)] as const;
  const sizes = [await countOf(older, from), await countOf(newer, from)] as const;
  const pieces = Math.max(1, Math.ceil(Math.max(...sizes) / rowsAtOnce));
  const inPiece = (piece: number): string => (pieces === 1 ? 'true' : `hash(${key}) % ${pieces} = ${piece}`);
  const rowsOf = async (database: Database, piece: number) => {
    const rows = await database.query(sql(`SELECT ${key} AS key, ${record} AS record, (hash(${columns.map(({ same }) => same).join(', ')}) >> 12)::DOUBLE AS mark FROM ${from} WHERE ${inPiece(piece)}`));
    return { keys: rows.texts('key').map((k) => k ?? ''), record: rows.numbers('record'), mark: rows.numbers('mark') };
  };
  const fieldsOf = async (database: Database, piece: number, keys: readonly string[]): Promise<(k: string) => readonly number[]> => {
    const few = keys.length <= 1000;
    const rows = await database.query(sql(`SELECT ${key} AS key, ${columns.map((c, i) => `${c.sql} AS c${i}`).join(', ')} FROM ${from}
      WHERE ${few ? `${key} IN (${keys.map(() => '?').join(', ')})` : inPiece(piece)}`, ...(few ? keys : [])));
    const at = new Map(rows.texts('key').map((k, row) => [k ?? '', row])), values = columns.map((_, c) => rows.numbers(`c${c}`));
    return (k) => values.map((column) => column[at.get(k)!]!);
  };
  const counts = { added: 0, removed: 0, changed: 0 }, perField = columns.map(() => ({ changed: 0, moves: new Map<string, number>(), kept: 0 }));
  const differences: Difference[] = [];
  for (let piece = 0; piece < pieces; ++piece) {
    signal?.throwIfAborted();
    const before = await rowsOf(older, piece), after = await rowsOf(newer, piece), unlike: { readonly k: string; readonly was: number; readonly row: number }[] = [];
    const rowOf = new Map<string, number>();
    before.keys.forEach((k, row) => { rowOf.set(k, row); });
    after.keys.forEach((k, row) => {
      const was = rowOf.get(k);
      if (was === undefined) {
        if (++counts.added <= keptOfEach) differences.push({ what: 'added', field: null, older: null, newer: finders[1](after.record[row]!) });
        return;
      }
      rowOf.delete(k);
      if (before.mark[was] !== after.mark[row]) unlike.push({ k, was, row });
    });
    for (const row of rowOf.values()) if (++counts.removed <= keptOfEach) differences.push({ what: 'removed', field: null, older: finders[0](before.record[row]!), newer: null });
    if (unlike.length === 0) continue;
    const keys = unlike.map(({ k }) => k), old = await fieldsOf(older, piece, keys), now = await fieldsOf(newer, piece, keys);
    for (const { k, was, row } of unlike) {
      const xs = old(k), ys = now(k);
      const differing = columns.filter(({ label, told }, c): boolean => {
        const of = labels[c]!, x = xs[c]!, y = ys[c]!;
        if (Object.is(of.map === null || Number.isNaN(x) ? x : of.map[x], y)) return false;
        const field = perField[c]!;
        ++field.changed;
        if (told) {
          const move = `${Number.isNaN(x) ? notRecorded : of.older(x)}\n${Number.isNaN(y) ? notRecorded : of.newer(y)}`;
          field.moves.set(move, (field.moves.get(move) ?? 0) + 1);
        }
        if (++field.kept <= keptOfEach) differences.push({ what: 'changed', field: label, older: finders[0](before.record[was]!), newer: finders[1](after.record[row]!) });
        return true;
      });
      if (differing.length > 0) ++counts.changed;
    }
  }
  return {
    older: sizes[0], newer: sizes[1], ...counts, differences: differences.sort(inOrder),
    fields: columns.map(({ name, label }, c): FieldChange => ({
      name, label, changed: perField[c]!.changed,
      moves: [...perField[c]!.moves].map(([move, count]) => ({ from: move.split('\n')[0]!, to: move.split('\n')[1]!, count })).sort((a, b) => b.count - a.count || (a.from < b.from ? -1 : 1)),
    })).filter(({ changed }) => changed > 0),
  };
}

async function countOf(database: Database, from: string): Promise<number> {
  return (await database.query(sql(`SELECT count(*)::INTEGER AS n FROM ${from}`))).numbers('n')[0]!;
}

interface Labels { readonly older: (value: number) => string; readonly newer: (value: number) => string; readonly map: Float64Array | null } // map: older number → the newer one of that label, -1: none

async function labelsOf(older: Database, newer: Database, columns: readonly VersionColumn[]): Promise<readonly Labels[]> {
  const byEnum = new Map<string, Labels>();
  const found: Labels[] = [];
  for (const { list, ownEnum } of columns) {
    if (ownEnum === null) {
      const label = (value: number): string => (list === null ? String(value) : labelOf(list, list[value]?.code ?? String(value)));
      found.push({ older: label, newer: label, map: null });
      continue;
    }
    let labels = byEnum.get(ownEnum);
    if (labels === undefined) {
      const a = await enumLabels(older, ownEnum), b = await enumLabels(newer, ownEnum), at = new Map(b.map((label, i) => [label, i]));
      labels = { older: (value) => a[value] ?? '', newer: (value) => b[value] ?? '', map: Float64Array.from(a, (label) => at.get(label) ?? -1) };
      byEnum.set(ownEnum, labels);
    }
    found.push(labels);
  }
  return found;
}

const order = { removed: 0, added: 1, changed: 2 } as const;
const inOrder = (a: Difference, b: Difference): number => order[a.what] - order[b.what] || (a.field ?? '').localeCompare(b.field ?? '')
  || ((a.newer ?? a.older)?.line ?? 0) - ((b.newer ?? b.older)?.line ?? 0);
