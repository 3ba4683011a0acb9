import type { Field } from '../../contract/fields';
import type { FieldSource } from '../../contract/mapping';
import type { FoundColumn } from '../../intake/inspection';

/** A value of a coded column as found, and what it becomes. */
export interface CodeRow {
  readonly value: string;
  readonly rows: number;
  /** A code of the dictionary; null: not recorded; undefined: left as it is, and no code of the list. */
  readonly becomes: string | null | undefined;
  /** It is a code of the list as it stands. */
  readonly isCode: boolean;
}

type FromColumn = Extract<FieldSource, { column: string }>;

/** The different values of a coded column, most frequent first; those that stand for `not recorded` left out. Null: too many to list. */
export function codeRows(field: Field, from: FromColumn, column: FoundColumn): readonly CodeRow[] | null {
  if (column.values === null) return null;
  const counts = new Map<string, number>();
  for (const { value, rows } of column.values) {
    if (from.missing.includes(value)) continue;
    const parts = field.kind === 'codes' ? value.split(from.separator ?? ';') : [value];
    for (const part of parts.map((text) => text.trim())) if (part !== '') counts.set(part, (counts.get(part) ?? 0) + rows);
  }
  const codes = new Set(field.codes.map(({ code }) => code));
  return [...counts].sort(([, a], [, b]) => b - a).map(([value, rows]) => {
    const isCode = codes.has(value), named = from.codes?.[value];
    return { value, rows, isCode, becomes: named !== undefined ? named : isCode ? value : undefined };
  });
}
