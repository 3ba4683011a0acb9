import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reducedCohort, type ReducedCohort } from '@/lib/analysis/cohortCells';
import type { CohortCells } from '@/lib/analysis/cohortCells';
import { mergeCells } from '@/lib/analysis/mergeCells';
import type { CompetingEvents } from '@/lib/analysis/rows/endsOfFollowUp';
import { askedConditions } from '@/lib/analysis/askedConditions';
import { chooseGroups } from '@/lib/analysis/groups';
import { reduceRows } from '@/lib/analysis/rows/reduceRows';
import { comparedConditions, comparisonFactor } from '@/lib/cohort/comparison';
import { codings, strataFactor } from '@/lib/cohort/covariate';
import { Question } from '@/lib/contract/question';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { loadSample } from '../sampleExtract';
import { cellsOfDatabase } from './cellsOfDatabase';
import { questions } from './questions';

let extract: LoadedExtract;
beforeAll(async () => { extract = await loadSample(); });
afterAll(async () => { await extract.database.close(); });

/** Null where no group is compared. */
async function bothWays(question: Question, competing: CompetingEvents = 'apart'): Promise<{ readonly counted: ReducedCohort; readonly oracle: ReducedCohort } | null> {
  const { database } = extract, factor = comparisonFactor(question);
  const { conditions: inCohort } = await askedConditions(database, question), { groups } = await chooseGroups(database, inCohort, factor, question);
  if (groups.length === 0) return null;
  const conditions = [...inCohort, ...comparedConditions(factor, groups)];
  const factors = [...question.adjust.map((covariate) => codings[covariate]), ...question.strata.map(strataFactor)];
  const counted = await reduceRows(database, conditions, factor, factors, question, competing);
  const oracle = reducedCohort(await cellsOfDatabase(database, conditions, [factor, ...factors], question), groups, question);
  return { counted: reducedCohort(counted, groups, question), oracle };
}

/** Procedures by all that tells cells apart. */
function counts({ cells: { exit, event, count, entry, cluster }, pattern, group }: CohortCells): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  exit.forEach((day, i) => {
    const cell = [pattern[i], group[i], entry?.[i] ?? -Infinity, day, event[i], cluster?.[i] ?? -1].join(' ');
    found.set(cell, (found.get(cell) ?? 0) + count[i]!);
  });
  return found;
}

describe('the cohort counted in columns', () => {
  it('has the cells of the database in the same order, for any question', async () => {
    let compared = 0, most = 0;
    await fc.assert(fc.asyncProperty(questions, async (question) => {
      const both = await bothWays(question);
      if (both === null) return;
      const { counted, oracle } = both;
      expect(counted).toEqual(oracle);
      compared++;
      most = Math.max(most, oracle.cohort.cells.exit.length);
    }), { numRuns: 100 });
    expect(compared).toBeGreaterThan(30);
    expect(most).toBeGreaterThan(5000);
  });

  it('with competing events not told apart is that cohort with its like cells joined', async () => {
    await fc.assert(fc.asyncProperty(questions, async (question) => {
      const [apart, together] = [await bothWays(question), await bothWays(question, 'together')];
      if (apart === null || together === null) return;
      const { cohort } = apart.oracle, joined = mergeCells(cohort, Int32Array.from(cohort.groupOfPattern.keys()));
      const found = counts(together.counted.cohort);
      expect(found).toEqual(counts(joined));
      expect(found.size).toBe(together.counted.cohort.pattern.length); // no two are alike
      expect(together.counted.codes).toEqual(apart.counted.codes);
    }), { numRuns: 60 });
  });

  it.each([
    ['no clusters', { cluster: 'none' }], ['patients', { cluster: 'patient' }], ['hospitals', { cluster: 'hospital' }],
    ['more combinations than a table of counts holds', { cluster: 'none', adjust: ['age_linear', 'sex', 'bmi', 'asa'] }],
    ['more than are numbered at once', { adjust: ['age_linear', 'sex', 'indication', 'asa', 'bmi', 'period', 'class', 'approach'], strata: ['hospital'] }],
  ])('has them with %s', async (_, asked) => {
    const both = await bothWays(Question.parse(asked));
    expect(both?.oracle.cohort.cells.exit.length).toBeGreaterThan(1000);
    expect(both?.counted).toEqual(both?.oracle);
  });
});
