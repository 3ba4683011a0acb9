import { quoteText, sql, type Database } from '../database';
import type { StagedTable } from './loading';

/**
 * Makes `line_start` (see lines.ts). The line of a record in a CSV file: its number among the accepted records, the header, and the lines
 * before it that start no accepted record. With those lines in order, the j-th (from 0), at line s, has s − 2 − j accepted records before it.
 */
export async function createLineStarts(database: Database, staged: readonly StagedTable[]): Promise<void> {
  const files = staged.filter(({ file }) => file !== null).map(({ table, file, countedIn }) =>
    `(${quoteText(table)}, ${quoteText(file ?? '')}, ${countedIn === 'rows' ? 1 : 2})`);
  await database.query(sql(`CREATE TABLE line_start AS
    WITH first AS (FROM (VALUES ${files.join(', ')}) AS t("table", file, line)),
    shift AS (
      SELECT "table", line - 1 - row_number() OVER (PARTITION BY "table" ORDER BY line) AS from_record,
        row_number() OVER (PARTITION BY "table" ORDER BY line) AS shift FROM skipped_line)
    SELECT "table", from_record::INTEGER AS from_record, file, max(line)::INTEGER AS line FROM (
      SELECT "table", 0 AS from_record, file, line FROM first
      UNION ALL SELECT "table", from_record, file, first.line + from_record + shift FROM shift JOIN first USING ("table"))
    GROUP BY ALL ORDER BY 1, 2`));
}
