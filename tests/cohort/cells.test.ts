import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { unpackPattern } from '@/lib/cohort/patterns';
import { cellRangesQuery, cellsQuery, radicesOf, type CellRanges } from './oracle/cells';
import { comparisonFactor } from '@/lib/cohort/comparison';
import { cohortConditions } from '@/lib/cohort/conditions';
import { codings } from '@/lib/cohort/covariate';
import { Question } from '@/lib/contract/question';
import type { Database } from '@/lib/engine/database';
import { followupDatabase, rowsOf, type FollowupRow } from './followup';

async function cellsOf(rows: readonly FollowupRow[], asked: object, covariates: readonly (keyof typeof codings)[]) {
  const database = await followupDatabase(rows);
  const question = Question.parse(asked);
  const conditions = cohortConditions(question.cohort, question.horizonYears);
  const factors = [comparisonFactor(question), ...covariates.map((c) => codings[c])];
  const ranges = await rangesOf(database, cellRangesQuery(conditions, factors, question.horizonYears), factors.length);
  const query = cellsQuery(conditions, factors, ranges, question);
  const cells = await rowsOf(database, query, 'pattern', 'entry_day', 'exit_day', 'outcome', 'cluster', 'procedures');
  await database.close();
  return cells.map(({ pattern, ...cell }) => ({ codes: unpackPattern(Number(pattern), radicesOf(ranges)), ...cell }));
}

async function rangesOf(database: Database, query: Parameters<Database['query']>[0], factors: number): Promise<CellRanges> {
  const result = await database.query(query);
  const one = (name: string) => {
    const value = result.numbers(name)[0]!;
    return Number.isNaN(value) ? null : value;
  };
  return { lastExit: one('last_exit')!, lastEntry: one('last_entry'), lastCodes: Array.from({ length: factors }, (_, i) => one(`last_${i}`)) };
}

describe('the cohort reduced to cells', () => {
  it('is one grouped query over one packed number', () => {
    const question = Question.parse({ compare: 'sex', cluster: 'none' });
    const ranges = { lastExit: 3653, lastEntry: null, lastCodes: [1] };
    expect(cellsQuery([{ sql: '"joint" IN (?)', params: ['shoulder'] }], [codings.sex], ranges, question)).toEqual({
      sql: `SELECT (packed // 14616)::DOUBLE AS pattern, (packed // 14616 % 1)::INTEGER - 1 AS entry_day,
(packed // 4 % 3654)::INTEGER AS exit_day, (packed % 4)::INTEGER AS outcome, cluster, procedures
FROM (SELECT (((0::UINTEGER * 3 + (coalesce(enum_code("sex")::INTEGER + 1, 0))::UINTEGER) * 3654 + (least(exit_day, ?))::UINTEGER) * 4 + (CASE WHEN exit_day > ? THEN 0 ELSE CASE ending WHEN 'revision' THEN CASE WHEN true THEN 1 ELSE 2 END WHEN 'death' THEN 3 ELSE 0 END END)::UINTEGER) AS packed, -1 AS cluster, count(*)::INTEGER AS procedures
FROM followup WHERE "joint" IN (?) GROUP BY ALL)
ORDER BY packed // 14616, cluster, packed`,
      params: [3653, 3653, 'shoulder'],
    });
  });

  it('counts alike procedures once and keeps a revision on the day of the procedure', async () => {
    const sameDay = { exit_day: 0, ending: 'revision', kind: 'major', reason: 'instability', removed: 0 };
    expect(await cellsOf([{}, {}, sameDay, { ending: 'death', exit_day: 12 }], { compare: 'sex' }, [])).toEqual([
      { codes: [0], entry_day: -1, exit_day: 0, outcome: 1, cluster: -1, procedures: 1 },
      { codes: [0], entry_day: -1, exit_day: 12, outcome: 3, cluster: -1, procedures: 1 },
      { codes: [0], entry_day: -1, exit_day: 3653, outcome: 0, cluster: -1, procedures: 2 },
    ]);
  });

  it('censors at the horizon; an event on its last day counts', async () => {
    const late = { ending: 'revision', kind: 'major', reason: 'infection', removed: 0 };
    const cells = await cellsOf([{ exit_day: 365, ...late }, { exit_day: 366, ...late }, { exit_day: 900 }], { compare: 'sex', horizonYears: 1 }, []);
    expect(cells.map((c) => [c.exit_day, c.outcome, c.procedures])).toEqual([[365, 0, 2], [365, 1, 1]]);
  });

  it('numbers the patients who come with two shoulders, counting only shoulders of the cohort', async () => {
    const rows = [{ patient: 7 }, { patient: 8 }, { patient: 8, side: 'left' }, { patient: 9, sex: 'male' }, { patient: 9 }];
    const cells = await cellsOf(rows, { compare: 'sex', cohort: { sexes: ['female'] } }, []);
    expect(cells.map((c) => [c.cluster, c.procedures])).toEqual([[-1, 2], [0, 2]]);
  });

  it.each([
    { cluster: 'none', clusters: [[-1, 3]] },
    { cluster: 'hospital', clusters: [[0, 1], [1, 2]] },
    { cluster: 'surgeon', clusters: [[0, 2], [1, 1]] },
  ])('clusters by $cluster', async ({ cluster, clusters }) => {
    const rows = [{ hospital: 'H1', surgeon: 'S1' }, { hospital: 'H2', surgeon: 'S1' }, { hospital: 'H2', surgeon: 'S2' }];
    const cells = await cellsOf(rows, { compare: 'sex', cluster }, []);
    expect(cells.map((c) => [c.cluster, c.procedures])).toEqual(clusters);
  });

  it('keeps late joining apart from being at risk from the start', async () => {
    const cells = await cellsOf([{ entry_day: 1 }, { entry_day: 400 }, {}], { compare: 'sex' }, []);
    expect(cells.map((c) => c.entry_day)).toEqual([-1, 1, 400]);
  });

  it('gives what is not recorded a pattern of its own', async () => {
    const cells = await cellsOf([{ asa: null }, { asa: 5 }, { asa: 1 }], { compare: 'sex' }, ['asa', 'bmi']);
    expect(cells.map((c) => c.codes)).toEqual([[0, -1, 1], [0, 0, 1], [0, 3, 1]]);
  });

  it('packs into a wider number where many factors meet late joining', async () => {
    const everything = Object.keys(codings) as (keyof typeof codings)[];
    const rows = [{ entry_day: 5000, exit_day: 9000, age: 99, year: 2024 }, { age: 20, bmi: null }];
    const cells = await cellsOf(rows, { horizonYears: 30 }, everything);
    expect(cells).toEqual([
      { codes: [1, 0, 20, 0, 0, 1, -1, 12, 0, 0], entry_day: -1, exit_day: 3653, outcome: 0, cluster: -1, procedures: 1 },
      { codes: [1, 3, 99, 0, 0, 1, 1, 14, 0, 0], entry_day: 5000, exit_day: 9000, outcome: 0, cluster: -1, procedures: 1 },
    ]);
  });

  it('agrees with counting row by row', async () => {
    const row = fc.record({
      patient: fc.nat(5), exit_day: fc.integer({ min: 5, max: 9 }), entry_day: fc.constantFrom(null, 1, 3), sex: fc.constantFrom('female', 'male'),
      asa: fc.constantFrom(null, 1, 2, 3, 4, 5), ending: fc.constantFrom('censored', 'death'),
      glenoid_design: fc.constantFrom('all_poly_keeled', 'all_poly_pegged'),
    });
    await fc.assert(fc.asyncProperty(fc.array(row, { minLength: 1, maxLength: 30 }), async (rows) => {
      const several = [...new Set(rows.map((r) => r.patient))].sort((a, b) => a - b).filter((p) => rows.filter((r) => r.patient === p).length > 1);
      const counts = new Map<string, number>();
      for (const r of rows) {
        const cell = JSON.stringify([
          ['all_poly_keeled', 'all_poly_pegged'].indexOf(r.glenoid_design), ['female', 'male'].indexOf(r.sex),
          r.asa === null ? -1 : Math.min(r.asa, 4) - 1, r.entry_day ?? -1, r.exit_day, r.ending === 'death' ? 3 : 0, several.indexOf(r.patient),
        ]);
        counts.set(cell, (counts.get(cell) ?? 0) + 1);
      }
      const cells = await cellsOf(rows, {}, ['sex', 'asa']);
      const found = cells.map((c) => [JSON.stringify([...c.codes, c.entry_day, c.exit_day, c.outcome, c.cluster]), c.procedures] as const);
      expect(new Map(found)).toEqual(counts);
      expect(found).toHaveLength(counts.size);
    }), { numRuns: 25 });
  });
});
