import { sql, type Database } from '../../engine/database';
import { gammaTails } from '../../stats/distributions/incompleteGamma';
import { anyOf, anyWords, largestChance, type Pattern, type Sought } from './pattern';

const mostPrimaries = 6, withinDays = 7, times = 2;

/** What does not fit together in the records of one patient. */
export async function patientPatterns(database: Database): Promise<readonly Pattern[]> {
  const several = await database.query(sql(`SELECT count(*)::INTEGER AS patients, count(*) FILTER (WHERE sexes > 1)::INTEGER AS sexes, count(*) FILTER (WHERE births > 1.01)::INTEGER AS ages,
      count(*) FILTER (WHERE n > ${mostPrimaries})::INTEGER AS many
    FROM (SELECT count(*) AS n, count(DISTINCT sex) AS sexes, max(procedure_day / 365.25 - age) - min(procedure_day / 365.25 - age) AS births
      FROM followup WHERE patient_known GROUP BY patient HAVING count(*) > 1)`));
  const sameDay = await database.query(sql(`SELECT count(*)::INTEGER AS days, count(*) FILTER (WHERE hospitals > 1)::INTEGER AS hospitals, count(*) FILTER (WHERE sides)::INTEGER AS sides
    FROM (SELECT count(DISTINCT hospital) AS hospitals, count(*) > count(DISTINCT joint) AS sides FROM followup WHERE patient_known GROUP BY patient, procedure_day HAVING count(*) > 1)`));
  const of = several.numbers('patients')[0]!, days = sameDay.numbers('days')[0]!, count = (name: string): number => several.numbers(name)[0]!;
  const sought = (id: string, label: string, text: string, rule = anyWords, unit = 'patients with several procedures'): Sought => ({ id, area: 'patients', label, rule, unit, todo: { text, href: '/data/' } });
  const onOneDay = 'patients and days with several procedures';
  return [
    anyOf(sought('sex-disagrees', 'Sex that differs between procedures of one patient', 'Ask whether one pseudonym stands for two people.'), count('sexes'), of),
    anyOf(sought('age-disagrees', 'Ages that do not go with the days between procedures of one patient', 'Ask whether one pseudonym stands for two people, or a day or an age is wrong.',
      'Ages in completed years and the days must allow for one and the same birthday. Asked about as soon as there is one that is off by more than a year.'), count('ages'), of),
    anyOf(sought('many-procedures', `Patients with more than ${mostPrimaries} primary procedures`, 'Ask whether one pseudonym stands for several people.'), count('many'), of),
    anyOf(sought('same-day-hospitals', 'Two procedures of one patient on one day in two hospitals', 'Ask whether one operation was reported twice, or a pseudonym stands for two people.', anyWords, onOneDay), sameDay.numbers('hospitals')[0]!, days),
    anyOf(sought('same-day-sides', 'Both sides of one joint on one day', 'Ask whether one operation was reported for both sides; done at once on both sides it is right.',
      'Seldom done at once (common practice, no source). Asked about as soon as there is one.', onOneDay), sameDay.numbers('sides')[0]!, days),
    ...await revisionAndDeath(database),
  ];
}

async function revisionAndDeath(database: Database): Promise<readonly Pattern[]> {
  const rows = await database.query(sql(`SELECT count(*) FILTER (WHERE ending = 'revision')::INTEGER AS revisions, count(*) FILTER (WHERE ending = 'revision' AND exit_day = 0)::INTEGER AS same_day,
    count(*) FILTER (WHERE ending = 'death')::INTEGER AS deaths, count(*) FILTER (WHERE ending = 'death' AND exit_day = 0)::INTEGER AS died, sum(exit_day - coalesce(entry_day, 0) + 1)::DOUBLE AS days FROM followup`));
  const visits = await database.query(sql(`SELECT count(*)::INTEGER AS visits, count(*) FILTER (WHERE d.death_date BETWEEN v.visit_date AND v.visit_date + ${withinDays})::INTEGER AS died
    FROM followups v JOIN procedures p USING (procedure) LEFT JOIN deaths d USING (patient_id) WHERE v.visit_date IS NOT NULL`));
  const number = (name: string): number => rows.numbers(name)[0]!, looked = visits.numbers('visits')[0]!, died = visits.numbers('died')[0]!;
  const expected = number('days') > 0 ? (looked * (withinDays + 1) * number('deaths')) / number('days') : 0;
  const p = died === 0 ? 1 : gammaTails(died, expected).lower;
  return [
    anyOf({
      id: 'same-day-revision', area: 'revisions', label: 'First revisions on the day of the primary', rule: 'Seldom right (common practice, no source). Asked about as soon as there is one.', unit: 'first revisions',
      todo: { text: 'Ask whether one operation was reported twice.', href: '#linkage-rows' },
    }, number('same_day'), number('revisions')),
    anyOf({
      id: 'same-day-death', area: 'patients', label: 'Deaths on the day of the procedure', rule: 'Seldom right (common practice, no source). Asked about as soon as there is one.', unit: 'procedures that end with death',
      todo: { text: 'Ask whether the day of death was taken for another day.', href: '/data/' },
    }, number('died'), number('deaths')),
    {
      id: 'death-after-visit', area: 'patients', label: `Deaths within ${withinDays} days of a visit`, unit: 'visits', count: died, of: looked, expected, p, asked: p <= largestChance && died >= times * expected,
      rule: `Expected at the extract’s own mortality. Asked about where at least ${times} times as many are found and chance would do that at most once in a thousand (Poisson): a last contact may have been taken for a visit.`,
      todo: { text: 'Ask whether the day of the visit is that of a last contact.', href: '/dictionary/' }, parts: [],
      notLookedAt: looked === 0 ? 'no visits' : number('deaths') === 0 ? 'no deaths' : null,
    },
  ];
}
