import { fieldsOf } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { quoteName, type LoadingDatabase } from '../database';
import type { ExtractFile } from '../../intake/extractFile';
import { askingAhead } from './askingAhead';
import { bytesOf, cannotRead, csvBlocks, recordsOfBlock, type CsvBlock } from './csvBlocks';
import { rememberMalformed, rememberPart, rememberSkipped } from './fileParts';
import { countOf, staging, type Reading, type StagedTable } from './loading';
import { shownColumn } from '../../intake/columns';
import { refuse } from '../../intake/refusal';
import { createStaging, settleCells, stageTable } from './stageTable';
import type { TextScan } from './textScan';

/**
 * Reads a CSV file a block of records at a time: while the engine takes one in, the next is looked through. Only well-formed records come
 * to the engine; where it takes in another number of them than were counted, the file is refused.
 */
export async function readCsv(
  database: LoadingDatabase, table: TableName, file: ExtractFile, header: readonly string[], { signal, onRead }: Reading,
): Promise<StagedTable> {
  const fields = fieldsOf(table).map(({ name }) => name);
  const present = new Set(fields.filter((name) => header.includes(name)));
  const identifying = new Set(fieldsOf(table).filter(({ identifies }) => identifies).map(({ name }) => header.indexOf(name)));
  await createStaging(database, table, present);
  const blocks = askingAhead(csvBlocks(file.content, { file: file.name, cells: header.length, identifying }, signal));
  for (;;) {
    const found = await blocks.next();
    if (found.done === true) {
      await settle(database, table, file, found.value);
      return {
        table, fields: present, file: file.name, countedIn: 'lines', read: found.value.records,
        ignoredColumns: header.flatMap((name, i) => (fields.includes(name) ? [] : [shownColumn(name, i)])), missingColumns: fields.filter((name) => !present.has(name)),
      };
    }
    const { from, records, fraction } = found.value, done = from + records;
    await takeIn(database, table, file, found.value, header, present);
    await onRead(fraction, { done, of: Math.round(done / fraction) });
  }
}

async function takeIn(
  database: LoadingDatabase, table: TableName, file: ExtractFile, block: CsvBlock, header: readonly string[], present: ReadonlySet<string>,
): Promise<void> {
  const path = await database.registerBytes(`${table}.csv`, bytesOf(block));
  try {
    await stageTable(database, table, recordsOf(path, block, header, present), { fields: present });
  } catch (error) {
    if (!cannotRead(error)) throw error;
    refuse('unreadable', `the engine can't read the records from ${(block.from + 1).toLocaleString('en')} on`, { file: file.name });
  }
  await database.dropFile(path);
}

/** The records of a block as text. Columns go by their place: what the file calls those that are not wanted does not matter. */
function recordsOf(path: string, block: CsvBlock, header: readonly string[], present: ReadonlySet<string>): string {
  const wanted = [...present].map((name) => `c${header.indexOf(name)} AS ${quoteName(name)}`).join(', ');
  return `(SELECT (row_number() OVER () - 1 + ${block.from})::INTEGER AS record, ${wanted} FROM ${recordsOfBlock(path, block, header.length)})`;
}

/** Holds the two counts against each other, and keeps the lines that start no accepted record, for the line numbers of those that follow. */
async function settle(database: LoadingDatabase, table: TableName, file: ExtractFile, { records, malformed, skipped }: TextScan): Promise<void> {
  const read = await countOf(database, staging(table));
  if (read + malformed.length !== records) {
    refuse('records_disagree', `two readings of the file disagree: ${records} records, ${malformed.length} of them malformed, against ${read} taken in`, { file: file.name });
  }
  await rememberPart(database, { table, file: file.name, source: table, fromRecord: 0, rows: read, every: 1, line: 2 });
  await rememberSkipped(database, table, Array.from(skipped));
  await rememberMalformed(database, table, file.name, Array.from(malformed));
  await settleCells(database, table);
}
