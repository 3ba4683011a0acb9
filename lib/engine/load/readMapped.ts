import type { TableReport } from '../../contract/loadReport';
import type { TableMapping } from '../../contract/mapping';
import type { TableName } from '../../contract/tables';
import type { OpenedSource } from '../../intake/openSources';
import { shownColumn } from '../../intake/columns';
import { refuse } from '../../intake/refusal';
import { columnsOf, contradictsSql, holdsSql, originalOf, recordsSql, type Rows } from '../../intake/sql/recordsSql';
import { sql, type LoadingDatabase } from '../database';
import { integerColumn } from '../newColumn';
import { rememberMalformed, rememberPart, rememberSkipped } from './fileParts';
import { countOf, staging, type Reading, type StagedTable } from './loading';
import { fieldsIn } from './mappedReadings';
import type { OpenTable } from './openTables';
import { pieceColumn, sourcePieces, type SourceEnd } from './sourcePieces';
import { createStaging, settleCells, stageColumns, stageTable } from './stageTable';
import type { PieceRows, SoundRows } from './takeInRows';

/** A source that holds records of a table. */
export interface MappedPart {
  readonly table: TableName;
  readonly source: OpenedSource;
  readonly mappings: readonly TableMapping[]; // of this table in the source
  /** The first table of the source: what can't be taken apart is told with it. */
  readonly first: boolean;
}

/** What has been staged of a table. */
interface Taken {
  readonly parts: Set<MappedPart>;
  readonly withoutRecord: TableReport['withoutRecord'][number][];
  next: number; // record
  read: number;
  staged: number; // records
}

const mostRecords = 2 ** 31 - 1;

/** What need not wait for the procedures that are kept, in the order in which it is asked for. */
const atOnce: readonly TableName[] = ['procedures', 'deaths', 'revisions'];

/** The parts that are taken in one pass over the source of one, as none of it stays in memory; in the order in which their tables are asked for. */
export function inOnePass(parts: readonly MappedPart[], part: MappedPart): readonly MappedPart[] {
  if (!atOnce.includes(part.table)) return [part];
  return atOnce.flatMap((table) => parts.filter((other) => other.source === part.source && other.table === table));
}

/** Reads and stages the records of each table from all sources that hold some. Records are numbered through the sources: those of a row stand next to each other. */
export function readMapped(parts: readonly MappedPart[]): ReadonlyMap<TableName, OpenTable> {
  const staged = new Map<TableName, Taken>();
  const takenOf = async (database: LoadingDatabase, table: TableName): Promise<Taken> => {
    const known = staged.get(table) ?? { parts: new Set(), withoutRecord: [], next: 0, read: 0, staged: 0 };
    const sources = parts.filter((part) => part.table === table);
    if (!staged.has(table)) await createStaging(database, table, new Set(sources.flatMap(({ source, mappings }) => mappings.flatMap((mapping) => fieldsIn(source, mapping)))));
    staged.set(table, known);
    return known;
  };
  const read = async (database: LoadingDatabase, table: TableName, { signal, onRead }: Reading): Promise<StagedTable> => {
    const own = parts.filter((part) => part.table === table), taken = await takenOf(database, table);
    for (const [i, part] of own.entries()) {
      if (taken.parts.has(part)) continue;
      const pass: Pick<Pass, 'part' | 'into'>[] = [];
      for (const each of inOnePass(parts, part)) pass.push({ part: each, into: await takenOf(database, each.table) });
      await readSource(database, part.source, pass, { signal, onRead: (fraction, rows) => onRead((i + fraction) / own.length, rows) });
    }
    await settleCells(database, table);
    return {
      table, file: own.map(({ source }) => source.shownAs).join(', '), countedIn: own.every(({ source }) => source.rows !== null) ? 'rows' : 'lines',
      read: taken.read, withoutRecord: taken.withoutRecord, missingColumns: [],
      ignoredColumns: own.filter(({ first }) => first).flatMap(({ source }) => source.names.flatMap((name, i) => (columnsOf(source.mapping.tables).includes(name) ? [] : [shownColumn(name, i)]))),
    };
  };
  return new Map([...new Set(parts.map(({ table }) => table))].map((table) => [table, (database, reading) => read(database, table, reading)]));
}

const firstLine = ({ rows, mapping }: OpenedSource): number => rows?.firstRow ?? (mapping.layout?.headerLine ?? 1) + 1;

/** What is found of a part in one pass over its source, and what has been staged of its table. */
interface Pass {
  readonly part: MappedPart;
  readonly into: Taken;
  readonly counts: readonly { held: number; contradicting: number }[]; // by mapping
}

/** One pass over a source. */
async function readSource(database: LoadingDatabase, source: OpenedSource, parts: readonly Pick<Pass, 'part' | 'into'>[], { signal, onRead }: Reading): Promise<void> {
  const pieces = sourcePieces(database, source, parts.flatMap(({ part }) => part.mappings), signal);
  const pass = parts.map((each): Pass => ({ ...each, counts: each.part.mappings.map(() => ({ held: 0, contradicting: 0 })) }));
  for (let done = 0; ;) {
    const piece = await pieces.next();
    if (piece.done === true) {
      for (const { part, into, counts } of pass) await remember(database, part, into, piece.value, counts);
      return;
    }
    for (const { part: { table, mappings }, into, counts } of pass) {
      for (const [k, mapping] of mappings.entries()) {
        const found = piece.value.found.get(mapping);
        if (found === undefined) continue;
        const numbers = { first: into.next + k, every: mappings.length };
        const { held, contradicting } = 'columns' in found ? await stageSound(database, table, found, numbers) : await stageRecords(database, source, mapping, found, numbers);
        into.staged += held;
        counts[k]!.held += held;
        counts[k]!.contradicting += contradicting;
      }
    }
    done += piece.value.rows;
    await onRead(piece.value.fraction, { done, of: Math.round(done / piece.value.fraction) });
  }
}

/** How records are numbered: `first + row · every`. */
interface RecordNumbers { readonly first: number; readonly every: number }
interface Staged { readonly held: number; readonly contradicting: number }

/** Stages rows with a record in each. */
async function stageSound(database: LoadingDatabase, table: TableName, { rows, columns }: SoundRows, { first, every }: RecordNumbers): Promise<Staged> {
  await stageColumns(database, table, [integerColumn('record', rows.map((row) => first + row * every)), ...columns]);
  return { held: rows.length, contradicting: 0 };
}

/** Stages what a mapping finds in rows; refuses the file where these are fewer than were read, or what is found is counted twice with different results. */
async function stageRecords(database: LoadingDatabase, source: OpenedSource, mapping: TableMapping, found: PieceRows, numbers: RecordNumbers): Promise<Staged> {
  const { table } = mapping, file = source.shownAs;
  const rows: Rows = { from: found.from, column: (name) => pieceColumn(source, name), file: source.file.name, firstLine: firstLine(source) };
  const present = { fields: new Set(fieldsIn(source, mapping)), typed: new Set(found.typed.keys()), original: originalOf };
  const staged = await stageTable(database, table, recordsSql(rows, source.mapping, mapping, numbers, found.typed), present);
  const counted = (condition: string, name: string): string => `(count(*) FILTER (WHERE ${condition}))::INTEGER AS ${name}`;
  const counts = await database.query(sql(`SELECT count(*)::INTEGER AS taken, ${counted(holdsSql(rows, source.mapping, mapping), 'held')}, ${counted(contradictsSql(rows, source.mapping, mapping), 'contradicting')} FROM ${rows.from}`));
  const [taken = 0, held = 0, contradicting = 0] = ['taken', 'held', 'contradicting'].map((name) => counts.numbers(name)[0]);
  if (taken !== found.rows) refuse('records_disagree', `${found.rows} rows were read, but ${taken} taken in`, { file });
  if (held !== staged) refuse('records_disagree', `${held} records of ${table} were counted, but ${staged} taken in`, { file });
  return { held, contradicting };
}

/** Keeps what is known of a part once its source is read. */
async function remember(
  database: LoadingDatabase, part: MappedPart, into: Taken, { accepted, malformed, skipped }: SourceEnd, counts: Pass['counts'],
): Promise<void> {
  const { table, source, mappings, first } = part, every = mappings.length, staged = await countOf(database, staging(table));
  if (staged !== into.staged) refuse('records_disagree', `${into.staged} records of ${table} were counted, but ${staged} taken in`, { file: source.shownAs });
  await rememberPart(database, { table, file: source.shownAs, source: source.id, fromRecord: into.next, rows: accepted, every, line: firstLine(source) });
  if (first) {
    await rememberSkipped(database, source.id, skipped);
    await rememberMalformed(database, table, source.shownAs, malformed);
    into.read += malformed.length;
  }
  for (const [k, { when }] of mappings.entries()) {
    const { held, contradicting } = counts[k]!;
    into.read += held;
    if (when !== null) into.withoutRecord.push({ file: source.shownAs, column: when, rows: accepted - held, of: accepted, contradicting });
  }
  into.parts.add(part);
  into.next += accepted * every;
  if (into.next > mostRecords) refuse('too_many_records', `the records of ${table} are too many to be numbered`, { file: source.shownAs });
}
