import { rules, type RuleId } from '../../contract/rules';
import { sql, type Database } from '../../engine/database';
import { hospitalCode, placesOf } from '../places';

/** What re-operations were linked by and what they count as: numbers of re-operations. linked = byId + bySide = first + later + noChange + afterFollowUp. */
export interface LinkCounts {
  readonly linked: number;
  readonly byId: number;
  readonly bySide: number;
  readonly first: number; // the end point of their procedure
  readonly later: number; // a component changed after the first revision
  readonly noChange: number; // no component changed
  readonly afterFollowUp: number;
}

export interface Linkage {
  readonly read: number; // re-operations of the files
  readonly all: LinkCounts;
  /** Set aside, by rule, most first. `againstPrimary`: of those, how many name or point to a procedure of the files. */
  readonly setAside: readonly { readonly rule: RuleId; readonly title: string; readonly count: number; readonly againstPrimary: number }[];
  readonly ambiguous: number;
  readonly years: readonly number[]; // of the re-operation
  readonly byYear: readonly LinkCounts[];
  readonly hospitals: readonly (string | null)[];
  readonly byHospital: readonly (LinkCounts & { readonly setAside: number })[]; // setAside: held against one of its procedures
  readonly bilateral: {
    readonly pairs: number; // patients with both sides of a joint
    readonly sameDay: number;
    readonly oneRevised: number;
    readonly bothRevised: number;
    readonly bySide: number; // re-operations of such patients that were linked by patient, joint and side
    readonly sideDisagreed: number; // re-operations set aside because patient, joint or side differ from those of the procedure they name
  };
  readonly deaths: { readonly kept: number; readonly linked: number; readonly endings: number }; // linked: of a patient with a kept procedure; endings: procedures that they end
}

const counted = {
  linked: 'true', byId: 'linked_by_id', bySide: 'NOT linked_by_id', first: "counts_as = 'first_revision'", later: "counts_as = 're_revision'",
  noChange: "counts_as = 'reoperation'", afterFollowUp: "counts_as = 'after_follow_up'",
} as const satisfies Record<keyof LinkCounts, string>;
const names = Object.keys(counted) as (keyof LinkCounts)[];
const none: LinkCounts = { linked: 0, byId: 0, bySide: 0, first: 0, later: 0, noChange: 0, afterFollowUp: 0 };
const plus = (a: LinkCounts, b: LinkCounts): LinkCounts => ({
  linked: a.linked + b.linked, byId: a.byId + b.byId, bySide: a.bySide + b.bySide, first: a.first + b.first, later: a.later + b.later,
  noChange: a.noChange + b.noChange, afterFollowUp: a.afterFollowUp + b.afterFollowUp,
});

/** How re-operations and deaths came to their procedures. */
export async function linkage(database: Database): Promise<Linkage> {
  const { hospitals, position } = await placesOf(database);
  const cells = await database.query(sql(`SELECT ${hospitalCode} AS place, year(r.revision_date)::INTEGER AS at_year,
      ${names.map((name) => `count(*) FILTER (WHERE ${counted[name]})::INTEGER AS "${name}"`).join(', ')}
    FROM revisions r JOIN followup USING (procedure) GROUP BY 1, 2 ORDER BY 1, 2`));
  const columns = names.map((name) => [name, cells.numbers(name)] as const), places = cells.numbers('place'), at = cells.numbers('at_year');
  const years = [...new Set(at)].sort((a, b) => a - b), byYear = years.map(() => none), byHospital = hospitals.map(() => none);
  let all = none;
  for (let row = 0; row < cells.rowCount; ++row) {
    const counts = Object.fromEntries(columns.map(([name, values]) => [name, values[row]!])) as unknown as LinkCounts;
    const y = years.indexOf(at[row]!), h = position(places[row]!);
    byYear[y] = plus(byYear[y]!, counts);
    byHospital[h] = plus(byHospital[h]!, counts);
    all = plus(all, counts);
  }
  const setAside = await setAsideByRule(database), heldAgainst = await setAsideByHospital(database, position);
  return {
    read: all.linked + setAside.reduce((sum, { count }) => sum + count, 0), all, setAside,
    ambiguous: setAside.find(({ rule }) => rule === 'ambiguous_link')?.count ?? 0,
    years, byYear, hospitals, byHospital: byHospital.map((counts, h) => ({ ...counts, setAside: heldAgainst.get(h) ?? 0 })),
    bilateral: { ...await bilateral(database), sideDisagreed: setAside.find(({ rule }) => rule === 'link_disagrees')?.count ?? 0 },
    deaths: await deaths(database),
  };
}

async function setAsideByRule(database: Database): Promise<Linkage['setAside']> {
  const rows = await database.query(sql(`SELECT rule, count(*)::INTEGER AS n, count(primary_record)::INTEGER AS against FROM set_aside
    WHERE "table" = 'revisions' AND scope = 'record' GROUP BY rule ORDER BY n DESC, rule`));
  return rows.texts('rule').map((rule, i) => ({
    rule: rule as RuleId, title: rules[rule as RuleId].title, count: rows.numbers('n')[i]!, againstPrimary: rows.numbers('against')[i]!,
  }));
}

async function setAsideByHospital(database: Database, position: (code: number) => number): Promise<ReadonlyMap<number, number>> {
  const rows = await database.query(sql(`SELECT ${hospitalCode} AS place, count(*)::INTEGER AS n
    FROM set_aside s JOIN procedures p ON p.record = s.primary_record JOIN followup USING (procedure) WHERE s."table" = 'revisions' AND s.scope = 'record' GROUP BY 1`));
  return new Map(Array.from(rows.numbers('place'), (code, i) => [position(code), rows.numbers('n')[i]!]));
}

async function bilateral(database: Database): Promise<Omit<Linkage['bilateral'], 'sideDisagreed'>> {
  const pairs = `(SELECT patient, joint, count(DISTINCT procedure_day) AS days, count(*) FILTER (WHERE ending = 'revision') AS revised FROM followup
    WHERE patient_known AND side IS NOT NULL GROUP BY patient, joint HAVING count(DISTINCT side) = 2)`;
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS pairs, count(*) FILTER (WHERE days = 1)::INTEGER AS same_day,
    count(*) FILTER (WHERE revised = 1)::INTEGER AS one, count(*) FILTER (WHERE revised >= 2)::INTEGER AS both FROM ${pairs}`));
  const linked = await database.query(sql(`SELECT count(*)::INTEGER AS n FROM revisions r JOIN followup f USING (procedure) JOIN ${pairs} b USING (patient, joint) WHERE NOT linked_by_id`));
  return {
    pairs: rows.numbers('pairs')[0]!, sameDay: rows.numbers('same_day')[0]!, oneRevised: rows.numbers('one')[0]!, bothRevised: rows.numbers('both')[0]!,
    bySide: linked.numbers('n')[0]!,
  };
}

async function deaths(database: Database): Promise<Linkage['deaths']> {
  const rows = await database.query(sql(`SELECT count(*)::INTEGER AS kept,
      count(*) FILTER (WHERE patient_id IN (SELECT patient_id FROM procedures WHERE patient_id IS NOT NULL))::INTEGER AS linked FROM deaths`));
  const ended = await database.query(sql("SELECT count(*)::INTEGER AS n FROM followup WHERE ending = 'death'"));
  return { kept: rows.numbers('kept')[0]!, linked: rows.numbers('linked')[0]!, endings: ended.numbers('n')[0]! };
}
