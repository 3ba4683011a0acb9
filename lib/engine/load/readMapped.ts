import { fieldsOf } from '../../contract/fields';
import type { TableReport } from '../../contract/loadReport';
import type { TableMapping } from '../../contract/mapping';
import type { TableName } from '../../contract/tables';
import type { OpenedSource } from '../../intake/openSources';
import { shownColumn } from '../../intake/columns';
import { refuse } from '../../intake/refusal';
import { columnsOf, contradictsSql, hasRowKey, holdsSql, originalOf, recordsSql, type Rows } from '../../intake/sql/recordsSql';
import { sql, type LoadingDatabase } from '../database';
import { rememberMalformed, rememberPart, rememberSkipped } from './fileParts';
import { countOf, staging, type Reading, type StagedTable } from './loading';
import { pieceColumn, sourcePieces, type SourceEnd } from './sourcePieces';
import { createStaging, settleCells, stageTable } from './stageTable';

/** A source that holds records of a table. */
export interface MappedPart {
  readonly source: OpenedSource;
  readonly mappings: readonly TableMapping[]; // of this table in the source
  /** The source is read for the first time: what can't be taken apart is told here. */
  readonly first: boolean;
}

const mostRecords = 2 ** 31 - 1;

/**
 * Reads and stages the records of a table from all sources that hold some. A source is read again for every table that it holds, so that none
 * of it stays in memory. Records are numbered through the sources: those of a row stand next to each other.
 */
export async function readMapped(database: LoadingDatabase, table: TableName, parts: readonly MappedPart[], reading: Reading): Promise<StagedTable> {
  await createStaging(database, table);
  let next = 0, read = 0;
  const withoutRecord: TableReport['withoutRecord'][number][] = [];
  for (const [i, part] of parts.entries()) {
    const { source, mappings, first } = part;
    const onRead: Reading['onRead'] = (fraction, rows) => { reading.onRead((i + fraction) / parts.length, rows); };
    const { end, held, contradicting } = await readPart(database, table, part, next, { ...reading, onRead });
    await rememberPart(database, { table, file: source.shownAs, source: source.id, fromRecord: next, rows: end.accepted, every: mappings.length, line: firstLine(source) });
    if (first) {
      await rememberSkipped(database, source.id, end.skipped);
      await rememberMalformed(database, table, source.shownAs, end.malformed);
      read += end.malformed.length;
    }
    for (const [k, { when }] of mappings.entries()) {
      read += held[k] ?? 0;
      if (when !== null) withoutRecord.push({ file: source.shownAs, column: when, rows: end.accepted - (held[k] ?? 0), of: end.accepted, contradicting: contradicting[k] ?? 0 });
    }
    next += end.accepted * mappings.length;
    if (next > mostRecords) refuse('too_many_records', `the records of ${table} are too many to be numbered`, { file: source.shownAs });
  }
  await settleCells(database, table);
  return {
    table, file: parts.map(({ source }) => source.shownAs).join(', '), countedIn: parts.every(({ source }) => source.rows !== null) ? 'rows' : 'lines', read, withoutRecord, missingColumns: [],
    ignoredColumns: parts.filter(({ first }) => first).flatMap(({ source }) => source.names.flatMap((name, i) => (columnsOf(source.mapping.tables).includes(name) ? [] : [shownColumn(name, i)]))),
  };
}

const firstLine = ({ rows, mapping }: OpenedSource): number => rows?.firstRow ?? (mapping.layout?.headerLine ?? 1) + 1;

interface PartRead {
  readonly end: SourceEnd;
  readonly held: readonly number[]; // records by mapping
  readonly contradicting: readonly number[];
}

async function readPart(database: LoadingDatabase, table: TableName, { source, mappings }: MappedPart, base: number, { signal, onRead }: Reading): Promise<PartRead> {
  const columns = columnsOf(mappings), held = mappings.map(() => 0), contradicting = mappings.map(() => 0);
  const pieces = sourcePieces(database, source, columns, signal);
  let done = 0;
  for (;;) {
    const piece = await pieces.next();
    if (piece.done === true) return { end: piece.value, held, contradicting };
    const rows: Rows = { from: piece.value.from, column: (name) => pieceColumn(source, name), file: source.file.name, firstLine: firstLine(source) };
    for (const [k, mapping] of mappings.entries()) {
      const before = await countOf(database, staging(table));
      const present = fieldsOf(table).map(({ name }) => name).filter((name) => mapping.fields[name] !== undefined || (name === 'procedure_id' && hasRowKey(source.mapping, mapping)));
      await stageTable(database, table, recordsSql(rows, source.mapping, mapping, { first: base + k, every: mappings.length }), { fields: new Set(present), original: originalOf });
      const counted = await database.query(sql(`SELECT (count(*) FILTER (WHERE ${holdsSql(rows, source.mapping, mapping)}))::INTEGER AS held,
        (count(*) FILTER (WHERE ${contradictsSql(rows, source.mapping, mapping)}))::INTEGER AS contradicting FROM ${rows.from}`));
      const records = counted.numbers('held')[0] ?? 0, staged = await countOf(database, staging(table)) - before;
      if (records !== staged) refuse('records_disagree', `${records} records of ${table} were counted, but ${staged} taken in`, { file: source.shownAs });
      held[k] = (held[k] ?? 0) + records;
      contradicting[k] = (contradicting[k] ?? 0) + (counted.numbers('contradicting')[0] ?? 0);
    }
    done += piece.value.rows;
    onRead(piece.value.fraction, { done, of: Math.round(done / piece.value.fraction) });
  }
}
