import { msPerDay } from '../../contract/calendarDay';
import { sql, type Database } from '../../engine/database';
import { benjaminiHochberg } from '../../stats/benjaminiHochberg';
import { binomialTails } from '../../stats/distributions/binomial';
import { largestChance, moreThan, moreThanWords, type Pattern, type PatternPart } from './pattern';

const firstsOfMonth = 12 / 365.25, newYearsDays = 1 / 365.25;
const todo = { text: 'Ask whether days that were not known were entered as a first; time to revision is off by up to as much.', href: '/data/' };

const kinds = [
  { id: 'procedures', one: 'Procedures', days: 'SELECT procedure_day AS at, count(*)::INTEGER AS n FROM followup GROUP BY 1' },
  { id: 'revisions', one: 'Re-operations', days: "SELECT (revision_date - DATE '1970-01-01')::INTEGER AS at, count(*)::INTEGER AS n FROM revisions GROUP BY 1" },
  { id: 'deaths', one: 'Deaths', days: "SELECT (death_date - DATE '1970-01-01')::INTEGER AS at, count(*)::INTEGER AS n FROM deaths GROUP BY 1" },
] as const;

/** Days on which more is dated than chance puts there. */
export async function datePatterns(database: Database): Promise<readonly Pattern[]> {
  const found: Pattern[] = [];
  for (const { id, one, days } of kinds) {
    const rows = await database.query(sql(days)), at = rows.numbers('at'), n = rows.numbers('n');
    const count = (is: (day: Date) => boolean): number => n.reduce((sum, k, i) => (is(new Date(at[i]! * msPerDay)) ? sum + k : sum), 0);
    const all = n.reduce((sum, k) => sum + k, 0), unit = one.toLowerCase();
    found.push(moreThan({
      id: `${id}-first-of-month`, area: 'dates', label: `${one} dated to the first day of a month`, unit, todo, rule: moreThanWords('12 in 365.25', 1.2),
    }, count((day) => day.getUTCDate() === 1), all, firstsOfMonth, 1.2, id === 'procedures' ? await hospitalsOnFirsts(database) : []));
    found.push(moreThan({
      id: `${id}-new-year`, area: 'dates', label: `${one} dated to 1 January`, unit, todo, rule: moreThanWords('1 in 365.25', 1.5),
    }, count((day) => day.getUTCDate() === 1 && day.getUTCMonth() === 0), all, newYearsDays, 1.5));
    if (id === 'procedures') found.push(...weekdays(Array.from({ length: 7 }, (_, w) => count((day) => day.getUTCDay() === w)), all));
  }
  return found;
}

const names = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday'] as const;

/** Surgery that is planned is done on working days: one of them that stands out, or weekends that do not, suggest days of entry or invented days. */
function weekdays(byDay: readonly number[], all: number): readonly Pattern[] {
  const working = byDay.slice(1, 6), ofWorking = working.reduce((sum, n) => sum + n, 0), most = Math.max(...working);
  const weekend = all - ofWorking, fewer = all === 0 ? NaN : binomialTails(weekend, all, 2 / 7).lower, enough = Math.pow(5 / 7, all) <= largestChance;
  const parts = byDay.map((count, w): PatternPart => ({ kind: 'other', label: names[w]!, count, of: all, expected: NaN, p: NaN }));
  return [
    moreThan({
      id: 'procedures-weekday', area: 'dates', label: 'Procedures on the working day that has most of them', unit: 'procedures on working days', rule: moreThanWords('1 in 5', 1.4),
      todo: { text: 'Ask whether the day is that of surgery or of entry.', href: '/data/' },
    }, most, ofWorking, 1 / 5, 1.4, parts),
    {
      id: 'procedures-weekend', area: 'dates', label: 'Procedures on Saturdays and Sundays', unit: 'procedures', count: weekend, of: all, expected: (all * 2) / 7, p: fewer,
      rule: 'Clearly fewer than 2 in 7 are expected. Asked about where they are not fewer than every day alike would give (exact binomial test, at 1 in a thousand).',
      asked: enough && fewer > largestChance, todo: { text: 'Ask whether the day is that of surgery.', href: '/data/' }, parts: [],
      notLookedAt: all === 0 ? 'nothing there to look at' : enough ? null : 'too few procedures to tell',
    },
  ];
}

async function hospitalsOnFirsts(database: Database): Promise<readonly PatternPart[]> {
  const rows = await database.query(sql(`SELECT hospital::VARCHAR AS hospital, count(*)::INTEGER AS n, count(*) FILTER (WHERE day(DATE '1970-01-01' + procedure_day) = 1)::INTEGER AS firsts
    FROM followup GROUP BY 1 ORDER BY 1`));
  const n = rows.numbers('n'), firsts = rows.numbers('firsts');
  const p = benjaminiHochberg(Array.from(n, (of, i) => binomialTails(firsts[i]!, of, firstsOfMonth).higher));
  return rows.texts('hospital')
    .map((label, i): PatternPart => ({ kind: 'hospital', label, count: firsts[i]!, of: n[i]!, expected: n[i]! * firstsOfMonth, p: p[i]! }))
    .filter(({ p: adjusted }) => adjusted <= 0.01).sort((a, b) => b.count - a.count);
}
