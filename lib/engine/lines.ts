/**
 * Where a record stands in the person's own files. `line_start`, made when an extract is loaded, holds table, from_record, every, file and line:
 * the record r stands in line `line + (r − from_record) // every` of the last row of its table with from_record ≤ r; `every` is how many records a
 * line may hold. Lines count from 1, the header included;
 * in a file without lines they are rows, from 1.
 */
export const lineOf = (record: string, lines: string): string => `(${lines}.line + (${record} - ${lines}.from_record) // ${lines}.every)::INTEGER`;

/** What follows FROM, for `lineOf` and `<lines>.file` to be known; nothing is known of a record that is null. */
export const joinLines = (lines: string, table: string, record: string): string =>
  `ASOF LEFT JOIN line_start ${lines} ON ${lines}."table" = ${table} AND ${record} >= ${lines}.from_record`;
