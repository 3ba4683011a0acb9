import { fieldsOf } from '../../contract/fields';
import type { TableMapping } from '../../contract/mapping';
import type { OpenedSource } from '../../intake/openSources';
import { cellSql, fieldSql, missingValues, recordedSql } from '../../intake/sql/fieldSql';
import { hasRowKey, isColumn } from '../../intake/sql/recordsSql';
import type { CellReading } from './cellReadings';
import { typedFields } from './typedColumns';

/** The fields that a mapping of a source fills. */
export const fieldsIn = ({ mapping: source }: OpenedSource, mapping: TableMapping): string[] =>
  fieldsOf(mapping.table).map(({ name }) => name).filter((name) => mapping.fields[name] !== undefined || (name === 'procedure_id' && hasRowKey(source, mapping)));

/** How the fields of each mapping are read from the columns of a source. */
export function mappedReadings({ names, mapping: { layout } }: OpenedSource, mappings: readonly TableMapping[]): ReadonlyMap<TableMapping, readonly CellReading[]> {
  const decimal = layout?.decimal ?? '.';
  return new Map(mappings.map((mapping, m) => [mapping, fieldsOf(mapping.table).flatMap((field): CellReading[] => {
    const from = mapping.fields[field.name], typed = typedFields(mapping.table).find(({ name }) => name === field.name);
    if (from === undefined || !isColumn(from) || typed === undefined) return [];
    return [{
      field: typed, column: names.indexOf(from.column), name: `v${m}_${field.name}`,
      recorded: (cell) => recordedSql(cellSql(cell, true), missingValues(from)), text: (recorded) => fieldSql(field, from, recorded, decimal),
      asItStands: field.kind === 'text' && missingValues(from).length === 0 && Object.keys(from.codes ?? {}).length === 0,
    }];
  })]));
}
