import { dayOf } from '../../contract/calendarDay';
import { sql, type Database } from '../../engine/database';
import { hypergeometricTails } from '../../stats/distributions/hypergeometric';
import { benjaminiHochberg } from '../../stats/benjaminiHochberg';
import { hospitalCode, placesOf } from '../places';

/** Follow-up of some procedures. Person-time in days, from the day of surgery or of late entry. */
export interface FollowUpLine {
  readonly procedures: number;
  readonly lost: number; // follow-up ended before the closing date, by neither revision nor death
  readonly observed: number;
  readonly potential: number; // to the closing date, or to revision or death where that came first
}

/** Percent of the potential follow-up that was observed, 0–100; NaN where there was none. */
export const completenessIndex = ({ observed, potential }: Pick<FollowUpLine, 'observed' | 'potential'>): number => (potential > 0 ? (100 * observed) / potential : NaN);

export interface FollowUpQuality {
  readonly all: FollowUpLine;
  readonly years: readonly number[]; // of surgery
  readonly byYear: readonly FollowUpLine[];
  readonly hospitals: readonly (string | null)[];
  /** `unlike`: its share lost is clearly above that of all others. */
  readonly byHospital: readonly (FollowUpLine & { readonly adjustedP: number; readonly unlike: boolean })[];
}

const falseDiscoveryRate = 0.01, smallestDifference = 0.05;
const none: FollowUpLine = { procedures: 0, lost: 0, observed: 0, potential: 0 };
const plus = (a: FollowUpLine, b: FollowUpLine): FollowUpLine =>
  ({ procedures: a.procedures + b.procedures, lost: a.lost + b.lost, observed: a.observed + b.observed, potential: a.potential + b.potential });

/**
 * Who was lost and how much time with them. The index of completeness is observed over potential person-time: Clark, Altman & De Stavola 2002,
 * Lancet 359:1309. After a revision or death there is nothing more to observe, so the potential time of those is what was observed.
 */
export async function lostFollowUp(database: Database, closingDate: string): Promise<FollowUpQuality> {
  const closing = dayOf(closingDate), { hospitals, years, position } = await placesOf(database);
  const lost = `(ending = 'censored' AND procedure_day + exit_day < ${closing})`;
  const rows = await database.query(sql(`SELECT ${hospitalCode} AS place, year::INTEGER AS at_year, count(*)::INTEGER AS procedures, count(*) FILTER (WHERE ${lost})::INTEGER AS lost,
      sum(exit_day - coalesce(entry_day, 0))::DOUBLE AS observed,
      sum(CASE WHEN ${lost} THEN ${closing} - procedure_day ELSE exit_day END - coalesce(entry_day, 0))::DOUBLE AS potential
    FROM followup GROUP BY 1, 2 ORDER BY 1, 2`));
  const byYear = years.map(() => none), byHospital = hospitals.map(() => none);
  let all = none;
  const [place, at, n, gone, observed, potential] = ['place', 'at_year', 'procedures', 'lost', 'observed', 'potential'].map((name) => rows.numbers(name)) as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  for (let row = 0; row < rows.rowCount; ++row) {
    const line = { procedures: n[row]!, lost: gone[row]!, observed: observed[row]!, potential: potential[row]! };
    const y = years.indexOf(at[row]!), h = position(place[row]!);
    byYear[y] = plus(byYear[y]!, line);
    byHospital[h] = plus(byHospital[h]!, line);
    all = plus(all, line);
  }
  const p = benjaminiHochberg(byHospital.map((line) => (line.procedures === all.procedures ? NaN : hypergeometricTails(line.lost, line.procedures, all.lost, all.procedures).higher)));
  return {
    all, years, byYear, hospitals,
    byHospital: byHospital.map((line, h) => {
      const others = (all.lost - line.lost) / (all.procedures - line.procedures);
      return { ...line, adjustedP: p[h]!, unlike: p[h]! <= falseDiscoveryRate && line.lost / line.procedures - others >= smallestDifference };
    }),
  };
}
