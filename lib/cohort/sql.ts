import { quoteName, type Parameter } from '../engine/database';

/** The position of an enum value in its list, null where not recorded. */
export const enumCode = (column: string): string => `enum_code(${quoteName(column)})::INTEGER`;

/** A piece of SQL with one `?` for each parameter, in order. */
export interface Fragment {
  readonly sql: string;
  readonly params: readonly Parameter[];
  /** The column of `followup` that alone decides it: it is then worked out once for each value. Not said: any. */
  readonly column?: string;
}

/** All conditions at once; no condition is `true`. */
export const allOf = (conditions: readonly Fragment[]): Fragment => ({
  sql: conditions.length === 0 ? 'true' : conditions.map((c) => c.sql).join(' AND '),
  params: conditions.flatMap((c) => c.params),
});

export const isOneOf = (column: string, values: readonly Parameter[]): Fragment => ({
  sql: `${quoteName(column)} IN (${values.map(() => '?').join(', ')})`,
  params: values,
  column,
});
