import type { TableName } from '../../contract/tables';
import { passing, sql, type LoadingDatabase } from '../database';
import { numberColumn } from '../newColumn';

/** Which records of a table come from which file. */
export interface FilePart {
  readonly table: TableName;
  readonly file: string;
  readonly source: string; // what its skipped lines are kept by
  readonly fromRecord: number; // the record of its first row
  readonly rows: number; // accepted
  readonly every: number; // records that a row may hold; those of row r are fromRecord + r · every and the next
  readonly line: number; // of the first row where nothing was skipped before it
}

export async function rememberPart(database: LoadingDatabase, { table, file, source, fromRecord, rows, every, line }: FilePart): Promise<void> {
  await database.query(sql('INSERT INTO file_part VALUES (?, ?, ?, ?, ?, ?, ?)', table, fromRecord, rows, every, file, line, source));
}

/** Keeps the lines that start no accepted record, for the line numbers of those that follow. */
export async function rememberSkipped(database: LoadingDatabase, source: string, skipped: readonly number[]): Promise<void> {
  await eachLine(database, skipped, async () => { await database.query(sql(`INSERT INTO skipped_line SELECT ?, line FROM ${passing('lines_in')}`, source)); });
}

/** Records that could not be taken apart. */
export async function rememberMalformed(database: LoadingDatabase, table: TableName, file: string, malformed: readonly number[]): Promise<void> {
  await eachLine(database, malformed, async () => {
    await database.query(sql(`INSERT INTO finding SELECT ?, NULL, NULL, line, '', 'wrong_number_of_cells', NULL, 'record', NULL, ? FROM ${passing('lines_in')}`, table, file));
  });
}

async function eachLine(database: LoadingDatabase, lines: readonly number[], take: () => Promise<void>): Promise<void> {
  if (lines.length === 0) return;
  await database.createFrom('lines_in', [numberColumn('line', 'INTEGER', lines)]);
  await take();
  await database.query(sql(`DROP TABLE ${passing('lines_in')}`));
}
