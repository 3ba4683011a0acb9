import { sql, type Database } from '../../engine/database';
import { moreThan, moreThanWords, type Pattern } from './pattern';

/** Last digits that are preferred where a number was estimated or rounded. */
export async function digitPatterns(database: Database): Promise<readonly Pattern[]> {
  const ages = await database.query(sql(`SELECT count(*)::INTEGER AS n, count(*) FILTER (WHERE age % 5 = 0)::INTEGER AS round FROM followup WHERE age BETWEEN 50 AND 89`));
  const bmi = await database.query(sql(`SELECT count(*)::INTEGER AS n, count(*) FILTER (WHERE tenths % 10 = 0)::INTEGER AS whole, count(*) FILTER (WHERE tenths % 50 = 0)::INTEGER AS fives
    FROM (SELECT round(bmi * 10)::INTEGER AS tenths FROM followup WHERE bmi IS NOT NULL)`));
  const n = bmi.numbers('n')[0]!, whole = bmi.numbers('whole')[0]!, inWholes = n > 0 && whole >= 0.95 * n;
  const todo = { text: 'Ask whether the number was measured, reckoned from dates, or estimated.', href: '/dictionary/' };
  return [
    moreThan({
      id: 'age-digits', area: 'digits', label: 'Ages from 50 to 89 that end in 0 or 5', unit: 'procedures', todo, rule: moreThanWords('2 in 10', 1.1),
    }, ages.numbers('round')[0]!, ages.numbers('n')[0]!, 0.2, 1.1),
    inWholes
      ? moreThan({
        id: 'bmi-digits', area: 'digits', label: 'Body mass index, recorded in whole numbers, that ends in 0 or 5', unit: 'procedures', todo, rule: moreThanWords('2 in 10', 1.2),
      }, bmi.numbers('fives')[0]!, n, 0.2, 1.2)
      : moreThan({
        id: 'bmi-digits', area: 'digits', label: 'Body mass index in whole numbers, among those with a decimal place', unit: 'procedures', todo, rule: moreThanWords('1 in 10', 1.5),
      }, whole, n, 0.1, 1.5),
  ];
}
