import { fieldsOf, type Field } from '../../contract/fields';
import type { FieldSource, MappableTable, TableMapping } from '../../contract/mapping';
import type { FoundColumn, FoundSource } from '../inspection';
import { draftField } from './fieldDraft';
import { fieldsIn } from './tablesIn';

/** How a field comes from a column that the person chose: as in a draft, and as it is where the column seems to hold something else. */
export function suggestField(field: Field, column: FoundColumn, source: FoundSource): FieldSource {
  return draftField(field, column, source, { path: '', byName: 'unsure', joint: null })?.source ?? { column: column.name, missing: [] };
}

/** A table that the person says a file holds: the fields that the names of its columns tell. */
export function suggestTable(source: FoundSource, table: MappableTable): TableMapping {
  const named = fieldsIn(table, source.columns), fields: Record<string, FieldSource> = {};
  for (const field of fieldsOf(table)) {
    const from = named.find((each) => each.field === field.name);
    if (from !== undefined) fields[field.name] = suggestField(field, from.column, source);
  }
  return { table, when: null, unless: [], fields };
}
