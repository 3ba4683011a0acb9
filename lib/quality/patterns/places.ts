import { sql, type Database } from '../../engine/database';
import { anyOf, type Pattern, type PatternPart } from './pattern';

const mostHospitals = 3, mostADay = 8, largestChance = 0.001;

/** Hospitals and surgeons that are unlike what one hospital or one person does. */
export async function placePatterns(database: Database): Promise<readonly Pattern[]> {
  return [await withoutRevisions(database), await inManyHospitals(database), await manyADay(database), await sameLastDay(database)];
}

/**
 * Expected revisions of a hospital: the cumulative hazard of first revision of all procedures of the same joint and class (Nelson–Aalen), over the
 * follow-up of its own. Where so many are expected, none at all has the probability exp(−expected).
 */
export const expectedByHospital = `WITH days AS (
    SELECT joint, class, exit_day AS t, count(*) AS left_now, count(*) FILTER (WHERE ending = 'revision') AS revised, 0 AS came FROM followup GROUP BY ALL
    UNION ALL SELECT joint, class, entry_day, 0, 0, count(*) FROM followup WHERE entry_day IS NOT NULL GROUP BY ALL),
  at_day AS (SELECT joint, class, t, sum(left_now) AS left_now, sum(revised) AS revised, sum(came) AS came FROM days GROUP BY ALL),
  risk AS (SELECT joint, class, t, revised, sum(left_now - came) OVER later AS at_risk FROM at_day WINDOW later AS (PARTITION BY joint, class ORDER BY t DESC)),
  hazard AS (SELECT joint, class, t, sum(CASE WHEN revised > 0 THEN revised / at_risk ELSE 0 END) OVER (PARTITION BY joint, class ORDER BY t) AS cumulative FROM risk)
  SELECT f.hospital::VARCHAR AS hospital, count(*)::INTEGER AS procedures, count(*) FILTER (WHERE f.ending = 'revision')::INTEGER AS revised,
    sum(h.cumulative - coalesce(e.cumulative, 0))::DOUBLE AS expected
  FROM followup f JOIN hazard h ON h.joint IS NOT DISTINCT FROM f.joint AND h.class IS NOT DISTINCT FROM f.class AND h.t = f.exit_day
  LEFT JOIN hazard e ON e.joint IS NOT DISTINCT FROM f.joint AND e.class IS NOT DISTINCT FROM f.class AND e.t = f.entry_day
  GROUP BY 1 ORDER BY 1`;

async function withoutRevisions(database: Database): Promise<Pattern> {
  const rows = await database.query(sql(expectedByHospital));
  const revised = rows.numbers('revised'), expected = rows.numbers('expected'), procedures = rows.numbers('procedures');
  const parts = rows.texts('hospital').map((label, i): PatternPart => ({ kind: 'hospital', label, count: revised[i]!, of: procedures[i]!, expected: expected[i]!, p: Math.exp(-expected[i]!) }))
    .filter(({ label, count, p }) => label !== null && count === 0 && p <= largestChance).sort((a, b) => b.expected - a.expected);
  return anyOf({
    id: 'hospital-without-revision', area: 'places', label: 'Hospitals without any revision although enough are expected', unit: 'hospitals',
    rule: `Expected at the extract’s own rates of the same joint and class over the hospital’s follow-up. Asked about where none at all would happen at most once in a thousand (Poisson; from 6.9 expected). Of ${rows.rowCount} hospitals ${(rows.rowCount * largestChance).toFixed(2)} at most are found by chance.`,
    todo: { text: 'Ask whether its re-operations are reported at all, and to whom.', href: '/unit/' },
  }, parts.length, rows.rowCount, parts);
}

async function inManyHospitals(database: Database): Promise<Pattern> {
  const rows = await database.query(sql(`SELECT surgeon::VARCHAR AS surgeon, max(hospitals)::INTEGER AS hospitals, sum(n)::INTEGER AS procedures
    FROM (SELECT surgeon, year, count(DISTINCT hospital) AS hospitals, count(*) AS n FROM followup WHERE surgeon IS NOT NULL GROUP BY 1, 2) GROUP BY 1 ORDER BY 2 DESC, 1`));
  const hospitals = rows.numbers('hospitals'), procedures = rows.numbers('procedures');
  const parts = rows.texts('surgeon').map((label, i): PatternPart => ({ kind: 'surgeon', label, count: hospitals[i]!, of: procedures[i]!, expected: NaN, p: NaN })).filter(({ count }) => count > mostHospitals);
  return anyOf({
    id: 'surgeon-hospitals', area: 'places', label: `Surgeons with procedures in more than ${mostHospitals} hospitals in one year`, unit: 'surgeons',
    rule: `One to ${mostHospitals} are usual (common practice, no source). Asked about as soon as there is one: one code may stand for several people.`,
    todo: { text: 'Ask whether the code is one person’s; learning curves and clusters of surgeons depend on it.', href: '/unit/' },
  }, parts.length, rows.rowCount, parts);
}

async function manyADay(database: Database): Promise<Pattern> {
  const rows = await database.query(sql(`SELECT surgeon::VARCHAR AS surgeon, count(*)::INTEGER AS days, sum(n)::INTEGER AS procedures
    FROM (SELECT surgeon, procedure_day, count(*) AS n FROM followup WHERE surgeon IS NOT NULL GROUP BY 1, 2 HAVING count(*) > ${mostADay}) GROUP BY 1 ORDER BY 2 DESC, 1`));
  const days = rows.numbers('days'), procedures = rows.numbers('procedures');
  const surgeons = await database.query(sql('SELECT count(DISTINCT surgeon)::INTEGER AS n FROM followup'));
  return anyOf({
    id: 'surgeon-day', area: 'places', label: `Surgeons with more than ${mostADay} procedures on one day`, unit: 'surgeons',
    rule: `Up to ${mostADay} are usual (common practice, no source). Asked about as soon as there is one.`,
    todo: { text: 'Ask whether the code is one person’s, and whether the day is that of surgery.', href: '/unit/' },
  }, rows.rowCount, surgeons.numbers('n')[0]!, rows.texts('surgeon').map((label, i) => ({ kind: 'surgeon', label, count: days[i]!, of: procedures[i]!, expected: NaN, p: NaN })));
}

async function sameLastDay(database: Database): Promise<Pattern> {
  const rows = await database.query(sql(`SELECT procedure_day + exit_day AS last_day, count(*)::INTEGER AS n FROM followup
    WHERE ending = 'censored' AND procedure_day + exit_day < (SELECT max(procedure_day + exit_day) FROM followup) GROUP BY 1 ORDER BY n DESC, 1`));
  const n = rows.numbers('n'), all = n.reduce((sum, k) => sum + k, 0), most = n[0] ?? 0;
  const asked = most >= 10 && most >= 0.2 * all;
  return {
    id: 'same-last-day', area: 'places', label: 'Follow-up that ends early on one and the same day', unit: 'procedures with follow-up that ended early', count: most, of: all, expected: NaN, p: NaN, asked,
    rule: 'People leave on different days. Asked about where at least ten procedures, and one in five of all that ended early, end on one day (common practice, no source): a delivery may be missing.',
    todo: { text: 'Ask whether a hospital or a region has not delivered since then.', href: '#lost-follow-up' }, parts: [], notLookedAt: all === 0 ? 'no follow-up ended early' : null,
  };
}
