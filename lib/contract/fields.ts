import { z } from 'zod';
import { codeLists, type Code, type CodeListName } from './codes';
import { tables, type TableName } from './tables';

export type FieldKind = 'text' | 'date' | 'integer' | 'number' | 'code' | 'codes';

/** One field of a table, read from its Zod schema. Limits are inclusive; `maxLength` counts characters. */
export interface Field {
  readonly name: string;
  readonly kind: FieldKind;
  readonly required: boolean;
  readonly emptyHasMeaning: boolean; // an empty cell says more than `not recorded`: a bad value sets the record aside
  readonly core: boolean; // may be empty, but a bad value sets the record aside
  readonly identifies: boolean; // the value can point to a person: reports name the line, never the value
  readonly description: string;
  readonly unit: string | null;
  readonly min: number | null;
  readonly max: number | null;
  readonly maxLength: number | null;
  readonly list: CodeListName | null;
  readonly codes: readonly Code[];
}

const Property = z.object({
  type: z.string().optional(),
  format: z.string().optional(),
  enum: z.array(z.string()).optional(),
  description: z.string().default(''),
  unit: z.string().optional(),
  minimum: z.number().optional(),
  maximum: z.number().optional(),
  maxLength: z.number().optional(),
  list: z.enum(Object.keys(codeLists) as [CodeListName, ...CodeListName[]]).optional(),
  several: z.boolean().default(false),
  emptyHasMeaning: z.boolean().default(false),
  core: z.boolean().default(false),
  identifies: z.boolean().default(false),
});
const Nullable = z.looseObject({ anyOf: z.array(z.looseObject({ type: z.string().optional() })) });

function field(name: string, schema: unknown): Field {
  const nullable = Nullable.safeParse(schema);
  const inner = nullable.success ? nullable.data.anyOf.find((option) => option.type !== 'null') : schema;
  const property = Property.parse(nullable.success ? { ...inner as object, ...nullable.data } : inner);
  return {
    name,
    kind: kindOf(property),
    required: !nullable.success,
    emptyHasMeaning: property.emptyHasMeaning,
    core: property.core,
    identifies: property.identifies,
    description: property.description,
    unit: property.unit ?? null,
    min: property.minimum ?? null,
    max: property.maximum ?? null,
    maxLength: property.maxLength ?? null,
    list: property.list ?? null,
    codes: property.list === undefined ? [] : codeLists[property.list],
  };
}

function kindOf(property: z.infer<typeof Property>): FieldKind {
  if (property.list !== undefined) return property.several ? 'codes' : 'code';
  if (property.format === 'date') return 'date';
  if (property.type === 'integer' || property.type === 'number') return property.type;
  return 'text';
}

const fieldsByTable = new Map<TableName, readonly Field[]>();

/** Whether a value of the field that can't be accepted sets the whole record aside, and not only the value. */
export const setsRecordAside = ({ required, emptyHasMeaning, core }: Pick<Field, 'required' | 'emptyHasMeaning' | 'core'>): boolean =>
  required || emptyHasMeaning || core;

/** The fields of a table in the order of the contract. */
export function fieldsOf(table: TableName): readonly Field[] {
  let fields = fieldsByTable.get(table);
  if (fields === undefined) {
    const { properties = {} } = z.toJSONSchema(tables[table].schema);
    fields = Object.entries(properties).map(([name, schema]) => field(name, schema));
    fieldsByTable.set(table, fields);
  }
  return fields;
}

export const tableNames = Object.keys(tables) as readonly TableName[];
