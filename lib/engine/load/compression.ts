import { quoteName } from '../database';

/** SQL of a column of codes or whole numbers: which packing is best need not be tried. A byte a row takes little room as it is; of many such columns only the bits are kept. */
export const asItIs = 'USING COMPRESSION uncompressed', asBits = 'USING COMPRESSION bitpacking';

/**
 * SQL: the columns of a table that is going to be compressed. The engine finds out for each column what it is best packed with; of those in which every
 * row, or nearly every row, has a value of its own it is known that it is nothing: keys gain little by it and would take most of the time. Columns of
 * fields that are not present are null and not stored: to append and compress nothing takes as long as a column of codes.
 */
export const columnDefinitions = (columns: readonly (readonly [name: string, type: string])[], isAbsent: (name: string) => boolean): string => columns.map(([name, type]) =>
  `${quoteName(name)} ${type}${isAbsent(name) ? ` GENERATED ALWAYS AS (NULL::${type}) VIRTUAL` : ownInEachRow.has(name) ? ` ${asItIs}` : ''}`).join(', ');

const ownInEachRow: ReadonlySet<string> = new Set(['procedure_id', 'patient_id']);
