import { z } from 'zod';
import { fieldsOf, tableNames } from './fields';
import { Registry, type TableName } from './tables';

/** How the days of a column are written. Asked of the person wherever the values fit more than one. */
export const dateOrders = ['year-month-day', 'day-month-year', 'month-day-year'] as const;
export type DateOrder = (typeof dateOrders)[number];

export const encodings = ['utf-8', 'windows-1252', 'utf-16le', 'utf-16be'] as const;
export const delimiters = [',', ';', '\t', '|'] as const;

/** How a text file is laid out. `headerLine` counts from 1; what stands above it is not read. */
export const TextLayout = z.strictObject({
  encoding: z.enum(encodings),
  delimiter: z.enum(delimiters),
  decimal: z.enum(['.', ',']),
  headerLine: z.int().min(1).max(1000),
});
export type TextLayout = z.infer<typeof TextLayout>;

const columnName = z.string().min(1).max(200);

/** Where the value of a field comes from: the same in every record, or a column of the file. */
export const FieldSource = z.union([
  z.strictObject({ constant: z.string().min(1).max(120) }),
  z.strictObject({
    column: columnName,
    /** Values, besides the empty cell, that mean `not recorded`. */
    missing: z.array(z.string().min(1).max(64)).max(50).default([]),
    /** For a day written as text. Days of a workbook, Parquet or Arrow file need none. */
    dates: z.enum(dateOrders).optional(),
    /** The file's value → the code of the data dictionary; null: not recorded. Values that are not named here are held against the list as they are. */
    codes: z.record(z.string().max(200), z.string().max(64).nullable()).optional(),
    /** What joins several codes in one cell. */
    separator: z.string().min(1).max(3).optional(),
    /** For a number in another unit. */
    times: z.number().positive().optional(),
  }),
]);
export type FieldSource = z.infer<typeof FieldSource>;

export const mappableTables = tableNames.filter((table): table is Exclude<TableName, 'registry'> => table !== 'registry');
export type MappableTable = (typeof mappableTables)[number];

/** Records of one table in a file. A wide file holds those of several, and may hold several of one table (a component for each role). */
export const TableMapping = z.strictObject({
  table: z.enum(mappableTables),
  /**
   * A row holds a record only where this column is not empty and not one of its field's values for `not recorded`; null: every row does.
   * Where it is empty but another column that only these records have is not, there is a record, which lacks this value.
   */
  when: columnName.nullable().default(null),
  /** Values of that column which say that there is no record: `0` of a column that says whether there was a revision. */
  unless: z.array(z.string().min(1).max(64)).max(50).default([]),
  fields: z.record(z.string(), FieldSource),
}).superRefine(({ table, fields }, context) => {
  const known = fieldsOf(table).map(({ name }) => name);
  for (const name of Object.keys(fields)) {
    if (!known.includes(name)) context.addIssue({ code: 'custom', path: ['fields', name], message: `the table ${table} has no field ${name}` });
  }
});
export type TableMapping = z.infer<typeof TableMapping>;

/** One file, or one sheet of a workbook. */
export const SourceMapping = z.strictObject({
  /** Name without folder, in any case of letters; `*` stands for what changes from extract to extract: `primaries_*.csv`. */
  file: z.string().min(1).max(200),
  sheet: z.string().min(1).max(100).nullable().default(null),
  layout: TextLayout.nullable().default(null), // null: a workbook, Parquet or Arrow file, which says by itself
  tables: z.array(TableMapping).min(1),
});
export type SourceMapping = z.infer<typeof SourceMapping>;

/**
 * How the files of one registry, hospital or study become the tables of the data package: kept as a small JSON file and used again on the
 * next extract. It holds names of columns, codes and settings, and no value of a record.
 */
export const Mapping = z.strictObject({
  mapping: z.literal(1), // version of this form
  registry: Registry,
  sources: z.array(SourceMapping).min(1),
});
export type Mapping = z.infer<typeof Mapping>;
