import { describe, expect, it } from 'vitest';
import { appliesTo, approachCodes, designClassCodes, indicationCodes, procedureClassCodes, reasonCodes, type Code, type Joint, type Role } from '@/lib/contract/codes';
import { tableNames } from '@/lib/contract/fields';
import { tables, type TableName } from '@/lib/contract/tables';
import { plantedErrorCounts, type PlantedRule } from '@/sample-registry/plantedErrors';
import type { Row } from '@/sample-registry/sink';
import { generated, groupBy } from './generated';

const registry = generated(2000);
const { rows, truth } = registry;
const plantedKeys = (...rules: readonly PlantedRule[]) => new Set(truth.plantedErrors.rows.filter((p) => rules.includes(p.rule)).map((p) => p.key));
const spoilt = plantedKeys(...(Object.keys(plantedErrorCounts) as PlantedRule[]));
const clean = (table: TableName, key: string) => rows[table].filter((row) => !spoilt.has(row[key] as string));
const procedures = clean('procedures', 'procedure_id');
const byId = new Map(procedures.map((row) => [row['procedure_id'], row]));
const sideOf = (row: Row) => `${row['patient_id']} ${row['joint']} ${row['side']}`;

describe('every row of a generated extract satisfies the contract', () => {
  it.each(tableNames)('%s', (table) => {
    const broken = rows[table].filter((row) => !tables[table].schema.safeParse(row).success);
    const expected = table === 'procedures' ? plantedKeys('out_of_range', 'unknown_code') : new Set<string>();
    expect(new Set(broken.map((row) => row['procedure_id']))).toEqual(expected);
    expect(Object.keys(rows[table][0]!).sort()).toEqual(Object.keys(tables[table].schema.shape).sort());
  });

  it('has as many clean procedures as were asked for', () => {
    const added = truth.plantedErrors.counts.duplicate_key! + truth.plantedErrors.counts.second_primary!;
    expect(rows.procedures.length - added).toBe(2000);
  });

  it('uses only codes that apply to the joint and the role', () => {
    const fits = (list: readonly Code[], code: unknown, joint: unknown) => code === null || list.some((c) => c.code === code && appliesTo(c, joint as Joint));
    expect(procedures.filter((row) => !fits(procedureClassCodes, row['class'], row['joint']) || !fits(indicationCodes, row['indication'], row['joint'])
      || !fits(approachCodes, row['approach'], row['joint']))).toEqual([]);
    expect(rows.revisions.filter((row) => (row['reasons'] as string).split(';').some((reason) => !fits(reasonCodes, reason, row['joint'])))).toEqual([]);
    const rolesOf = new Map<unknown, readonly Role[]>(designClassCodes.map((d) => [d.code, d.roles]));
    expect(rows.components.filter((row) => !rolesOf.get(row['design_class'])?.includes(row['role'] as Role))).toEqual([]);
  });
});

describe('the story of a patient holds together', () => {
  const deathOf = new Map(clean('deaths', 'patient_id').map((row) => [row['patient_id'], row['death_date'] as string]));
  const gone = plantedKeys('after_death');

  it('has no operation after death or before the opening, and none after the closing date', () => {
    for (const row of procedures) {
      const date = row['procedure_date'] as string;
      expect(date >= '2005-01-01' && date <= '2024-12-31').toBe(true);
      if (!gone.has(row['procedure_id'] as string)) expect(date <= (deathOf.get(row['patient_id']) ?? '9999')).toBe(true);
    }
  });

  it('links every re-operation to one primary, by its key or else by patient, joint and side, while the patient was alive and in sight', () => {
    const bySide = new Map(procedures.map((row) => [sideOf(row), row]));
    const linked = clean('revisions', 'revision_id');
    expect(linked.some((row) => row['procedure_id'] === null)).toBe(true);
    for (const row of linked) {
      const primary = bySide.get(sideOf(row))!;
      if (row['procedure_id'] !== null) expect(byId.get(row['procedure_id'])).toBe(primary);
      const date = row['revision_date'] as string;
      expect(date >= (primary['procedure_date'] as string)).toBe(true);
      if (primary['follow_up_start'] !== null) expect(date > (primary['follow_up_start'] as string)).toBe(true);
      expect(date <= ((primary['follow_up_end'] as string | null) ?? '2024-12-31')).toBe(true);
      expect(date <= (deathOf.get(row['patient_id']) ?? '9999')).toBe(true);
    }
  });

  it('operates on second sides at least 90 days later, on the other side of the same joint', () => {
    const patients = [...groupBy(procedures, (row) => row['patient_id']).values()];
    const both = patients.filter((own) => own.length > 1);
    expect(both.length / patients.length).toBeGreaterThan(0.05);
    expect(both.length / patients.length).toBeLessThan(0.11);
    for (const [first, second, ...more] of both) {
      expect(more).toEqual([]);
      expect(second!['joint']).toBe(first!['joint']);
      expect(second!['side']).not.toBe(first!['side']);
      expect(Date.parse(second!['procedure_date'] as string) - Date.parse(first!['procedure_date'] as string)).toBeGreaterThanOrEqual(90 * 86_400_000);
    }
  });

  it('knows every model it implants, within the days of its first and last use', () => {
    const models = new Map(rows.models.map((row) => [row['model_code'], row]));
    const unknown = plantedKeys('not_in_catalogue');
    for (const row of clean('components', 'procedure_id')) {
      const model = models.get(row['model_code'])!;
      expect([model['role'], model['design_class']]).toEqual([row['role'], row['design_class']]);
      const date = byId.get(row['procedure_id'])!['procedure_date'] as string;
      expect(date >= (model['first_used'] as string) && date <= ((model['last_used'] as string | null) ?? '9999')).toBe(true);
    }
    expect(rows.components.filter((row) => !models.has(row['model_code'])).map((row) => row['procedure_id'])).toEqual([...unknown]);
  });

  it('misses cells more in the early years', () => {
    const share = (field: string, early: boolean) => {
      const group = procedures.filter((row) => ((row['procedure_date'] as string) < '2012') === early);
      return group.filter((row) => row[field] === null).length / group.length;
    };
    expect(share('asa_grade', true)).toBeGreaterThan(3 * share('asa_grade', false));
    expect(share('bmi', true)).toBeGreaterThan(0.5);
    expect(share('bmi', false)).toBeLessThan(0.4);
  });
});

describe('planted errors', () => {
  it('are as many as the truth says, each of its kind', () => {
    expect(truth.plantedErrors.counts).toEqual(plantedErrorCounts);
    expect(rows.procedures.filter((row) => row['age_years'] === 199)).toHaveLength(plantedErrorCounts.out_of_range);
    const ids = rows.procedures.map((row) => row['procedure_id']);
    expect(ids.length - new Set(ids).size).toBe(plantedErrorCounts.duplicate_key);
    const patients = new Set(rows.procedures.map((row) => row['patient_id']));
    expect(rows.revisions.filter((row) => !patients.has(row['patient_id']))).toHaveLength(plantedErrorCounts.no_primary);
    const start = new Map(rows.procedures.map((row) => [row['procedure_id'], row['procedure_date'] as string]));
    expect(rows.revisions.filter((row) => (row['revision_date'] as string) < (start.get(row['procedure_id']) ?? ''))).toHaveLength(plantedErrorCounts.before_procedure);
    const sides = [...groupBy(rows.procedures, sideOf).values()].filter((own) => new Set(own.map((row) => row['procedure_id'])).size > 1);
    expect(sides).toHaveLength(plantedErrorCounts.second_primary);
    const deaths = new Map(rows.deaths.map((row) => [row['patient_id'], row['death_date'] as string]));
    expect(rows.procedures.filter((row) => (deaths.get(row['patient_id']) ?? '9999') < (row['procedure_date'] as string))).toHaveLength(plantedErrorCounts.after_death);
  });
});
