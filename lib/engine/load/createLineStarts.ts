import { sql, type Database } from '../database';

/**
 * Makes `line_start` (see lines.ts) from `file_part` and `skipped_line`. The line of a row in a file: its number among the accepted rows, the
 * line of the first, and the lines before it that start no accepted row. With those lines in order, the j-th (from 0), at line s, has
 * s − (line of the first) − j accepted rows before it.
 */
export async function createLineStarts(database: Database): Promise<void> {
  await database.query(sql(`CREATE OR REPLACE TABLE line_start AS
    WITH numbered AS (
      SELECT p.*, s.line AS skipped_at, row_number() OVER (PARTITION BY "table", from_record ORDER BY s.line) AS shift
      FROM file_part p JOIN skipped_line s USING (source)),
    shifts AS (SELECT *, skipped_at - line - shift + 1 AS row FROM numbered)
    SELECT "table", (from_record + row * every)::INTEGER AS from_record, every, file, max(line)::INTEGER AS line FROM (
      SELECT "table", from_record, 0 AS row, every, file, line FROM file_part
      UNION ALL SELECT "table", from_record, row, every, file, line + row + shift FROM shifts WHERE row < rows)
    GROUP BY ALL ORDER BY 1, 2`));
}
