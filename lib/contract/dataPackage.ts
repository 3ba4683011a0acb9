import { fieldsOf, tableNames, type Field } from './fields';
import { tables, type TableName } from './tables';

/**
 * The contract as a Frictionless Data Package, version 1 (specs.frictionlessdata.io: Tabular Data Package, Table Schema): what a
 * `datapackage.json` beside an extract says. `categories` carries the labels of codes, as in version 2 of Table Schema; version 1
 * lets a field have further properties.
 */
export function dataPackage(): unknown {
  return {
    profile: 'tabular-data-package',
    name: 'joint-replacement-extract',
    title: 'Extract of a joint replacement registry',
    description: 'Primary joint replacements with their components, re-operations, deaths and follow-up visits, one file a table.',
    resources: tableNames.map(resource),
  };
}

const resource = (table: TableName): unknown => ({
  profile: 'tabular-data-resource',
  name: table,
  path: `${table}.csv`,
  title: tables[table].title,
  description: `${sentence(tables[table].grain)}${tables[table].required ? '' : ' Optional.'}`,
  format: 'csv',
  mediatype: 'text/csv',
  encoding: 'utf-8',
  dialect: { delimiter: ',', quoteChar: '"', doubleQuote: true, header: true },
  schema: {
    fields: fieldsOf(table).map((field) => schemaField(field, tables[table].primaryKey)),
    missingValues: [''],
    ...primaryKeyOf(table),
    ...foreignKeys(table),
  },
});

const sentence = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;

function schemaField(field: Field, primaryKey: readonly string[]): unknown {
  const { name, description, unit, required, min, max, maxLength, kind, codes } = field;
  const list = codes.map(({ code }) => code);
  return {
    name,
    type: kind === 'date' || kind === 'integer' || kind === 'number' ? kind : 'string',
    ...(kind === 'date' ? { format: 'default' } : {}),
    description,
    ...(unit === null ? {} : { unit }),
    constraints: {
      required,
      ...(primaryKey.length === 1 && primaryKey[0] === name ? { unique: true } : {}),
      ...(min === null ? {} : { minimum: min }),
      ...(max === null ? {} : { maximum: max }),
      ...(maxLength === null ? {} : { maxLength }),
      ...(kind === 'code' ? { enum: list } : {}),
      ...(kind === 'codes' ? { pattern: `^(${list.join('|')})(;(${list.join('|')}))*$` } : {}),
    },
    ...(codes.length === 0 ? {} : { categories: codes.map(({ code, label }) => ({ value: code, label })) }),
  };
}

/** A key of the standard can't be empty: one that may be is unique where it is there. */
function primaryKeyOf(table: TableName): object {
  const { primaryKey } = tables[table];
  return fieldsOf(table).some(({ name, required }) => !required && primaryKey.some((part) => part === name)) ? {} : { primaryKey: [...primaryKey] };
}

function foreignKeys(table: TableName): object {
  const keys = tables[table].references.map(({ field, to }) => ({ fields: [field], reference: { resource: to, fields: [field] } }));
  return keys.length === 0 ? {} : { foreignKeys: keys };
}
