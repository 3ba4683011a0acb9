import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { askedConditions } from '@/lib/analysis/askedConditions';
import { attrition } from '@/lib/analysis/attrition';
import { calendarOverlap } from '@/lib/analysis/calendar';
import { caseMix, characteristicsOf } from '@/lib/analysis/caseMix';
import { usersOfGroups } from '@/lib/analysis/groupSummaries';
import { chooseGroups } from '@/lib/analysis/groups';
import { medianFollowUps } from '@/lib/analysis/medianFollowUps';
import { levelSizes } from '@/lib/analysis/rows/levelSizes';
import { usersRecorded } from '@/lib/analysis/usersRecorded';
import { comparedConditions, comparisonFactor } from '@/lib/cohort/comparison';
import { levelsQuery } from '@/lib/cohort/levels';
import type { Question } from '@/lib/contract/question';
import type { Query } from '@/lib/engine/database';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { eventTables } from '@/lib/stats/eventTable';
import { medianFollowUp } from '@/lib/stats/medianFollowUp';
import { attritionQuery } from '../../cohort/oracle/attrition';
import { caseMixQuery } from '../../cohort/oracle/caseMix';
import { followUpTimesQuery } from '../../cohort/oracle/followUpTimes';
import { groupSummariesQuery } from '../../cohort/oracle/groupSummaries';
import { usersRecordedQuery } from '../../cohort/oracle/usersRecorded';
import { rowsOf } from '../../cohort/followup';
import { loadSample } from '../sampleExtract';
import { questions } from './questions';
import { calendarQuery } from '../../cohort/oracle/calendar';

let extract: LoadedExtract;
beforeAll(async () => { extract = await loadSample(); });
afterAll(async () => { await extract.database.close(); });

const rows = <K extends string>(query: Query, ...columns: readonly K[]) => rowsOf(extract.database, query, ...columns);

async function cohortOf(question: Question) {
  const factor = comparisonFactor(question), { conditions: inCohort } = await askedConditions(extract.database, question);
  const { groups } = await chooseGroups(extract.database, inCohort, factor, question);
  return { factor, inCohort, groups, conditions: [...inCohort, ...comparedConditions(factor, groups)] };
}

it('what is counted in columns for a first answer is what the database counts, for any question', async () => {
  let compared = 0;
  await fc.assert(fc.asyncProperty(questions, async (question) => {
    const { database } = extract, { factor, inCohort, groups, conditions } = await cohortOf(question);
    expect(await levelSizes(database, inCohort, factor)).toEqual((await rows(levelsQuery(inCohort, factor), 'code', 'level_key', 'procedures')).map(({ code, level_key, procedures }) => ({ code: Number(code), key: level_key, procedures })));
    const steps = await attrition(database, inCohort), expected = await rows(attritionQuery(inCohort), 'step', 'unrecorded', 'procedures');
    expect(steps.slice(1).map((step) => step.excluded).filter((n) => n > 0)).toEqual(expected.filter(({ step }) => Number(step) < inCohort.length).map(({ procedures }) => procedures));
    expect(steps.at(-1)!.remaining).toBe(expected.find(({ step }) => Number(step) === inCohort.length)?.procedures ?? 0);
    if (groups.length === 0) return;
    compared++;
    expect(await usersRecorded(database, conditions, factor)).toEqual((await rows(usersRecordedQuery(conditions), 'procedures', 'patient', 'hospital', 'surgeon'))[0]);
    const summaries = await rows(groupSummariesQuery(conditions, factor), 'code', 'procedures', 'patients', 'hospitals', 'surgeons', 'largest_hospital', 'largest_surgeon', 'first_year', 'last_year');
    expect(await usersOfGroups(database, conditions, factor, groups)).toEqual(groups.map((group) => {
      const s = summaries.find(({ code }) => Number(code) === group.code)!, share = (n: unknown) => (100 * Number(n)) / Number(s.procedures);
      return {
        procedures: s.procedures, patients: s.patients, hospitals: Number(s.hospitals) || 0, surgeons: Number(s.surgeons) || 0,
        largestHospitalShare: share(s.largest_hospital), largestSurgeonShare: share(s.largest_surgeon), firstYear: s.first_year, lastYear: s.last_year,
      };
    }));
    const calendar = await calendarOverlap(database, conditions, factor, groups);
    const cells = groups.flatMap(({ code }, g) => calendar.years.flatMap((year, y) => (calendar.counts[g]![y] === 0 ? [] : [{ code, year, procedures: calendar.counts[g]![y] }])));
    expect(cells).toEqual(expect.arrayContaining(await rows(calendarQuery(conditions, factor), 'code', 'year', 'procedures')));
    const characteristics = Object.values(characteristicsOf(question)), mix = await caseMix(database, conditions, factor, groups, question);
    const levels = await rows(caseMixQuery(conditions, factor, characteristics), 'characteristic', 'level', 'code', 'procedures');
    expect(mix.map(({ levels: own }) => own.flatMap(({ counts }) => counts).filter((n) => n > 0).sort())).toEqual(characteristics.map((_, c) => levels.filter(({ characteristic }) => Number(characteristic) === c).map(({ procedures }) => procedures).sort()));
    for (const { level, code, characteristic, procedures } of levels) {
      const { key } = Number.isNaN(level) ? { key: 'not_recorded' } : characteristics[Number(characteristic)]!.level(Number(level));
      expect(mix[Number(characteristic)]!.levels.find((l) => l.key === key)?.counts[groups.findIndex((g) => g.code === Number(code))]).toBe(procedures);
    }
    expect(await medianFollowUps(database, conditions, factor, groups)).toEqual(await mediansOfDatabase());

    async function mediansOfDatabase() {
      const times = await database.query(followUpTimesQuery(conditions, factor)), code = times.numbers('code');
      const followed = { exit: times.numbers('exit_day'), entry: times.numbers('entry_day').map((day) => (Number.isNaN(day) ? -Infinity : day)), event: new Uint8Array(times.numbers('ended')), count: times.numbers('procedures') };
      return eventTables(followed, Int32Array.from(code, (c) => groups.findIndex((g) => g.code === c)), groups.length).map((table) => {
        const median = medianFollowUp(table);
        return median.status === 'ok' ? median.time : NaN;
      });
    }
  }), { numRuns: 60 });
  expect(compared).toBeGreaterThan(15);
});
