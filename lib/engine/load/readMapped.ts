import type { TableName } from '../../contract/tables';
import type { OpenedSource } from '../../intake/openSources';
import { shownColumn } from '../../intake/columns';
import { refuse } from '../../intake/refusal';
import { columnsOf } from '../../intake/sql/recordsSql';
import type { LoadingDatabase } from '../database';
import { rememberMalformed, rememberPart, rememberSkipped } from './fileParts';
import { countOf, staging, type Reading, type StagedTable } from './loading';
import { fieldsIn } from './mappedReadings';
import type { OpenTable } from './openTables';
import { sourcePieces, type SourceEnd, type SourcePiece } from './sourcePieces';
import { firstLine, isSound, stagePiece, type MappedPart, type Pass, type Taken } from './stagePiece';
import { createStaging, settleCells } from './stageTable';

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
    const known = staged.get(table);
    if (known !== undefined) return known;
    const fields = new Set(parts.filter((part) => part.table === table).flatMap(({ source, mappings }) => mappings.flatMap((mapping) => fieldsIn(source, mapping))));
    const taken = { fields, stored: await createStaging(database, table, fields), parts: new Set<MappedPart>(), withoutRecord: [], next: 0, read: 0, staged: 0 };
    staged.set(table, taken);
    return taken;
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
      table, fields: taken.fields, file: own.map(({ source }) => source.shownAs).join(', '), countedIn: own.every(({ source }) => source.rows !== null) ? 'rows' : 'lines',
      read: taken.read, withoutRecord: taken.withoutRecord, missingColumns: [],
      ignoredColumns: own.filter(({ first }) => first).flatMap(({ source }) => source.names.flatMap((name, i) => (columnsOf(source.mapping.tables).includes(name) ? [] : [shownColumn(name, i)]))),
    };
  };
  return new Map([...new Set(parts.map(({ table }) => table))].map((table) => [table, (database, reading) => read(database, table, reading)]));
}

/** One pass over a source. While what was found in some rows is staged, the next are looked through. */
async function readSource(database: LoadingDatabase, source: OpenedSource, parts: readonly Pick<Pass, 'part' | 'into'>[], { signal, onRead }: Reading): Promise<void> {
  const pieces = sourcePieces(database, source, parts.flatMap(({ part }) => part.mappings), signal);
  const pass = parts.map((each): Pass => ({ ...each, counts: each.part.mappings.map(() => ({ held: 0, contradicting: 0 })) }));
  let done = 0, staged = Promise.resolve(), before = staged, isSent = true; // all of the piece that was staged last
  const stage = async ({ found, rows, fraction }: SourcePiece): Promise<void> => {
    await stagePiece(database, source, pass, found);
    done += rows;
    await onRead(fraction, { done, of: Math.round(done / fraction) });
  };
  try {
    for (;;) {
      const piece = await pieces.next();
      await (isSent ? before : staged); // rows go in in their order; the engine need not wait for the next
      if (piece.done === true) {
        await staged;
        for (const { part, into, counts } of pass) await remember(database, part, into, piece.value, counts);
        return;
      }
      before = staged;
      isSent = isSound(piece.value.found);
      staged = stage(piece.value);
      staged.catch(() => undefined); // awaited above, in its turn
    }
  } finally {
    await Promise.allSettled([before, staged]); // nothing goes on once the load has failed
  }
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
