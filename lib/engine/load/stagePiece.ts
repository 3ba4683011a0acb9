import type { TableReport } from '../../contract/loadReport';
import type { TableMapping } from '../../contract/mapping';
import type { TableName } from '../../contract/tables';
import type { OpenedSource } from '../../intake/openSources';
import { refuse } from '../../intake/refusal';
import { contradictsSql, holdsSql, originalOf, recordsSql, type Rows } from '../../intake/sql/recordsSql';
import { sql, type LoadingDatabase } from '../database';
import { integerColumn } from '../newColumn';
import { fieldsIn } from './mappedReadings';
import { pieceColumn } from './sourcePieces';
import { stageColumns, stageTable } from './stageTable';
import { dropRows, type FoundRows, type PieceRows, type SoundRows } from './takeInRows';

/** A source that holds records of a table. */
export interface MappedPart {
  readonly table: TableName;
  readonly source: OpenedSource;
  readonly mappings: readonly TableMapping[]; // of this table in the source
  /** The first table of the source: what can't be taken apart is told with it. */
  readonly first: boolean;
}

/** What has been staged of a table. */
export interface Taken {
  readonly fields: ReadonlySet<string>; // that some source has
  readonly stored: readonly string[]; // columns of the staged table
  readonly parts: Set<MappedPart>;
  readonly withoutRecord: TableReport['withoutRecord'][number][];
  next: number; // record
  read: number;
  staged: number; // records
}

/** What is found of a part in one pass over its source, and what has been staged of its table. */
export interface Pass {
  readonly part: MappedPart;
  readonly into: Taken;
  readonly counts: readonly { held: number; contradicting: number }[]; // by mapping
}

export const firstLine = ({ rows, mapping }: OpenedSource): number => rows?.firstRow ?? (mapping.layout?.headerLine ?? 1) + 1;

/** Whether nothing is wrong with any record: then all are sent to the engine at once when they are staged. */
export const isSound = (found: FoundRows): boolean => Array.from(found.values()).every((rows) => 'columns' in rows);

/** Stages what the mappings find in rows. What is sound is copied before anything is waited for. */
export async function stagePiece(database: LoadingDatabase, source: OpenedSource, pass: readonly Pass[], found: FoundRows): Promise<void> {
  const count = ({ into, counts }: Pass, k: number, { held, contradicting }: Staged): void => {
    into.staged += held;
    counts[k]!.held += held;
    counts[k]!.contradicting += contradicting;
  };
  const sound: Promise<void>[] = [], others: (() => Promise<void>)[] = [];
  for (const each of pass) {
    const { part: { table, mappings }, into } = each;
    for (const [k, mapping] of mappings.entries()) {
      const rows = found.get(mapping), numbers = { first: into.next + k, every: mappings.length };
      if (rows === undefined) continue;
      if ('columns' in rows) sound.push(stageSound(database, table, into.stored, rows, numbers).then((staged) => { count(each, k, staged); }));
      else others.push(async () => { count(each, k, await stageRecords(database, source, mapping, rows, numbers)); });
    }
  }
  const allSound = Promise.all(sound);
  allSound.catch(() => undefined); // awaited below
  for (const other of others) await other();
  await allSound;
  await dropRows(database, found);
}

/** How records are numbered: `first + row · every`. */
interface RecordNumbers { readonly first: number; readonly every: number }
interface Staged { readonly held: number; readonly contradicting: number }

/** Stages rows with a record in each. */
async function stageSound(database: LoadingDatabase, table: TableName, stored: readonly string[], { rows, columns }: SoundRows, { first, every }: RecordNumbers): Promise<Staged> {
  await stageColumns(database, table, stored, [integerColumn('record', rows.map((row) => first + row * every)), ...columns]);
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
