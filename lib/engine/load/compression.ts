import { fieldsOf } from '../../contract/fields';
import { quoteName } from '../database';

/**
 * SQL: the columns of a table that is going to be compressed. The engine finds out for each column what it is best packed with; of those in `plain`
 * it is known that it is nothing: keys that are all different gain little by it and would take most of the time, and what is empty takes no room as it is.
 */
export const columnDefinitions = (columns: readonly (readonly [name: string, type: string])[], plain: ReadonlySet<string>): string =>
  columns.map(([name, type]) => `${quoteName(name)} ${type}${plain.has(name) ? ` ${asItIs}` : ''}`).join(', ');

/** The columns of procedures in which every row, or nearly every row, has a value of its own, and those of fields that no source has. */
export const plainOfProcedures = (present: ReadonlySet<string>): ReadonlySet<string> =>
  new Set(['procedure_id', 'patient_id', ...fieldsOf('procedures').map(({ name }) => name).filter((name) => !present.has(name))]);

/** SQL of a column of codes or whole numbers: which packing is best need not be tried. A byte a row takes little room as it is; of many such columns only the bits are kept. */
export const asItIs = 'USING COMPRESSION uncompressed', asBits = 'USING COMPRESSION bitpacking';
