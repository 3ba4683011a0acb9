import { daysPerYear } from '../../cohort/days';
import { firstUseQuery } from '../../cohort/firstUse';
import { dayOf } from '../../contract/calendarDay';
import type { Question } from '../../contract/question';
import type { AskedCohort } from '../askedCohort';
import { groupSurvival } from '../groupSurvival';
import type { Step } from '../step';
import { basisOf, stopRule } from './basis';
import { alpha, doublingSeenAfter, doublingSeenFrom, expectedCounts, power, precisionAt } from './detectable';
import type { Precision } from './precisionResult';

/** Which hazard ratio each group's number of procedures would let one see, and from when on a doubling. */
export async function precision(asked: AskedCohort, question: Question, step: Step): Promise<Precision> {
  const { cohort, groups, reference } = asked;
  await step('Counting procedures a year', 0.3);
  const paces = await procedureRates(asked, question);
  await step('Counting the revisions to expect', 0.6);
  const survival = groupSurvival(cohort.cells, cohort.group, groups.map((group) => group.key), question);
  const against = groups.findIndex((group) => group.key === reference);
  return {
    status: 'ok',
    ...basisOf(asked, [
      `Hazard ratio that would be seen: Schoenfeld 1983, power ${100 * power} %, two-sided level ${100 * alpha} %, from the revisions up to a time since surgery in both groups together were they revised alike`,
      `Revisions to expect: the follow-up of the group so far at the hazard of the reference (Berry 1983); the reference is ${stopRule(question.largestStep)}`,
      'Doubling by length of use: procedures done evenly, revised with the cumulative incidence of the reference (Aalen and Johansen 1978)',
    ]),
    reference,
    referencePerYear: paces[against]!,
    power,
    alpha,
    groups: groups.flatMap(({ key, label }, g) => {
      if (g === against) return [];
      const counts = expectedCounts(survival[g]!, survival[against]!);
      return [{
        group: key,
        label,
        procedures: survival[g]!.km.table.procedures,
        perYear: paces[g]!,
        atTimes: question.atYears.map((years) => precisionAt(counts, years, question)),
        doublingSeenFrom: doublingSeenFrom(counts),
        doublingSeenAfter: doublingSeenAfter(asked, survival[against]!, paces[g]!, paces[against]!),
      }];
    }),
  };
}

/** Procedures a year of each group, from its first one until the closing date or the end of the cohort's last year. */
async function procedureRates({ database, conditions, factor, groups, source, cohort }: AskedCohort, question: Question): Promise<readonly number[]> {
  const result = await database.query(firstUseQuery(conditions, factor));
  const codes = result.numbers('code'), firstDays = result.numbers('first_day');
  const { lastYear } = question.cohort;
  const lastDay = Math.min(dayOf(source.closingDate), lastYear === null ? Infinity : dayOf(`${lastYear}-12-31`));
  return groups.map(({ code }, g) => {
    const days = lastDay - firstDays[codes.indexOf(code)]! + 1;
    const procedures = cohort.cells.count.reduce((sum, n, i) => (cohort.group[i] === g ? sum + n : sum), 0);
    return (procedures * daysPerYear) / days;
  });
}
