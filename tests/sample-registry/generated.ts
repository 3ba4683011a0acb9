import { tableNames } from '@/lib/contract/fields';
import type { TableName } from '@/lib/contract/tables';
import { simulate } from '@/sample-registry/simulate';
import type { Row } from '@/sample-registry/sink';
import type { Truth } from '@/sample-registry/truth';

export interface Generated { readonly rows: Readonly<Record<TableName, readonly Row[]>>; readonly truth: Truth }

/** All rows of a registry, in memory. */
export function generated(procedures: number, seed = 1): Generated {
  const rows = Object.fromEntries(tableNames.map((table) => [table, [] as Row[]])) as Record<TableName, Row[]>;
  const truth = simulate({ procedures, seed }, { write: (table, row) => rows[table].push(row) });
  return { rows, truth };
}

export function groupBy<T, K>(items: readonly T[], keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const group = groups.get(keyOf(item));
    if (group) group.push(item);
    else groups.set(keyOf(item), [item]);
  }
  return groups;
}

const day = (iso: unknown): number => (typeof iso === 'string' ? Date.parse(iso) / 86_400_000 : Infinity);

export interface Followed {
  readonly procedure: Row;
  readonly glenoid: string | undefined; // design class
  readonly models: readonly unknown[];
  readonly stem: string | undefined;
  readonly entry: number; // days; -1: from the start
  readonly exit: number; // days
  readonly revised: boolean;
  readonly reason: string | null; // as written, several joined by a semicolon
}

/** The follow-up of every procedure without a planted error, worked out from the rows by the plain rules. */
export function followed({ rows, truth }: Generated): Followed[] {
  const closing = day(rows.registry[0]!['closing_date']);
  const sideOf = (row: Row) => `${row['patient_id']} ${row['joint']} ${row['side']}`;
  const spoilt = new Set(truth.plantedErrors.rows.map((planted) => planted.key));
  const deaths = new Map(rows.deaths.map((row) => [row['patient_id'], day(row['death_date'])]));
  const components = groupBy(rows.components, (row) => row['procedure_id']);
  const first = new Map<string, Row>();
  for (const row of rows.revisions) {
    if (row['kind'] === 'reoperation' || spoilt.has(row['revision_id'] as string)) continue;
    const known = first.get(sideOf(row));
    if (!known || day(row['revision_date']) < day(known['revision_date'])) first.set(sideOf(row), row);
  }
  return rows.procedures.filter((procedure) => !spoilt.has(procedure['procedure_id'] as string)).map((procedure) => {
    const start = day(procedure['procedure_date']);
    const revision = first.get(sideOf(procedure));
    const revisionDay = day(revision?.['revision_date']);
    const end = Math.min(closing, deaths.get(procedure['patient_id']) ?? Infinity, day(procedure['follow_up_end']));
    const late = procedure['follow_up_start'] === null ? -1 : day(procedure['follow_up_start']) - start;
    const parts = components.get(procedure['procedure_id']) ?? [];
    const designOf = (role: string) => parts.find((part) => part['role'] === role)?.['design_class'] as string | undefined;
    return {
      procedure, glenoid: designOf('glenoid'), stem: designOf('humeral_stem'), models: parts.map((part) => part['model_code']),
      entry: late, exit: Math.min(end, revisionDay) - start, revised: revisionDay <= end, reason: revision ? (revision['reasons'] as string) : null,
    };
  });
}

/** Percent revised by the end of `years`: Kaplan–Meier, time by time. */
export function percentRevised(group: readonly Followed[], years: number): number {
  const times = [...new Set(group.filter((f) => f.revised && f.exit <= years * 365.25).map((f) => f.exit))].sort((a, b) => a - b);
  const exits = group.map((f) => f.exit).sort((a, b) => a - b);
  const entries = group.map((f) => f.entry).sort((a, b) => a - b);
  const events = groupBy(group.filter((f) => f.revised), (f) => f.exit);
  let survival = 1;
  let left = 0;
  let entered = 0;
  for (const time of times) {
    while (left < exits.length && exits[left]! < time) left++;
    while (entered < entries.length && entries[entered]! < time) entered++;
    survival *= 1 - events.get(time)!.length / (entered - left);
  }
  return 100 * (1 - survival);
}

/** Revisions per 100 component-years. */
export function rate(group: readonly Followed[], years = Infinity): number {
  const limit = years * 365.25;
  const time = group.reduce((sum, f) => sum + Math.max(0, Math.min(f.exit, limit) - Math.max(f.entry, 0)), 0);
  return (100 * 365.25 * group.filter((f) => f.revised && f.exit <= limit).length) / time;
}
