import { fieldsOf, tableNames } from '../../contract/fields';
import type { TableName } from '../../contract/tables';
import { refuse } from '../../intake/refusal';

const isPartition = (folder: string): boolean => folder.includes('=');

/**
 * The table of which a Parquet file is a part: it lies in a folder of the table's name, or in folders `column=value` of it, and is not named like a
 * table itself.
 */
export function partOf(path: string): TableName | null {
  const folders = path.split('/'), file = folders.pop() ?? '';
  if (!/\.parquet$/i.test(file) || tableNames.some((table) => file.toLowerCase() === `${table}.parquet`)) return null;
  return tableNames.find((table) => table === folders.findLast((folder) => !isPartition(folder))) ?? null;
}

/** What the folders `column=value` on the way to a part say of all its rows; null: not recorded. As Hive, Spark and DuckDB write them. */
export function valuesInPath(table: TableName, path: string): ReadonlyMap<string, string | null> {
  const values = new Map<string, string | null>();
  for (const folder of path.split('/').slice(0, -1).filter(isPartition)) {
    const at = folder.indexOf('='), name = folder.slice(0, at), value = folder.slice(at + 1);
    if (fieldsOf(table).some((field) => field.name === name && field.identifies)) {
      refuse('partition_identifies', 'the table is divided into folders by a field that identifies people; divide it otherwise', { field: name });
    }
    values.set(name, value === '__HIVE_DEFAULT_PARTITION__' || value === '' ? null : decoded(value));
  }
  return values;
}

function decoded(value: string): string {
  try {
    return decodeURIComponent(value);
  } catch {
    return value;
  }
}
