import { fieldsOf, tableNames } from '../../../lib/contract/fields';
import type { TableName } from '../../../lib/contract/tables';
import { simulate } from '../../../sample-registry/simulate';
import type { Row } from '../../../sample-registry/sink';

export type Tables = Readonly<Record<TableName, readonly Row[]>>;

/** As many as a wide table has columns for. */
export const mostReoperations = 2;

/** A small seeded registry of shoulders, without patients with more re-operations than a wide table has columns for and without the records of the patients in whom errors are planted: every record of it can be kept. */
export function shoulderTruth(options: { readonly procedures: number; readonly seed: number }): Tables {
  const rows = Object.fromEntries(tableNames.map((table) => [table, [] as Row[]])) as Record<TableName, Row[]>;
  const { plantedErrors } = simulate(options, { write: (table, row) => { rows[table].push(row); } });
  const patientOf = new Map(rows.procedures.map((row) => [row['procedure_id'], row['patient_id']]));
  const shoulders = new Set(rows.procedures.filter((row) => row['joint'] === 'shoulder').map((row) => row['patient_id']));
  for (const { key } of plantedErrors.rows) {
    shoulders.delete(patientOf.get(key) ?? rows.revisions.find((row) => row['revision_id'] === key)?.['patient_id'] ?? '');
  }
  for (const [joint, times] of countBy(rows.revisions.map(jointOf))) if (times > mostReoperations) shoulders.delete(joint.split(' ')[0] ?? '');
  const isKept = (row: Row): boolean => shoulders.has(row['patient_id'] ?? patientOf.get(row['procedure_id'] ?? null) ?? null);
  const components = rows.components.filter(isKept);
  const used = new Set(components.map((row) => row['model_code']));
  return {
    procedures: rows.procedures.filter(isKept), components, models: rows.models.filter((row) => used.has(row['model_code'] ?? null)),
    revisions: rows.revisions.filter(isKept), deaths: rows.deaths.filter(isKept), followups: rows.followups.filter(isKept), registry: rows.registry,
  };
}

/** One side of one patient. */
export const jointOf = (row: Row): string => `${row['patient_id'] ?? ''} ${row['side'] ?? ''}`;

function countBy<T>(values: readonly T[]): ReadonlyMap<T, number> {
  const counts = new Map<T, number>();
  for (const value of values) counts.set(value, (counts.get(value) ?? 0) + 1);
  return counts;
}

export const fieldNames = (table: TableName): readonly string[] => fieldsOf(table).map(({ name }) => name);
