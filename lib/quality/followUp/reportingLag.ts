import { dateOf, msPerDay } from '../../contract/calendarDay';
import { sql, type Database } from '../../engine/database';
import { binomialLimits, binomialTails } from '../../stats/distributions/binomial';

/** A month that ends on the closing day or so many months before it, beside the same month a year before. */
export interface MonthBesideYearBefore {
  readonly from: string; // first and last day, ISO 8601
  readonly to: string;
  readonly procedures: RatioToYearBefore;
  readonly revisions: RatioToYearBefore;
}

export interface RatioToYearBefore {
  readonly count: number;
  readonly before: number;
  readonly ratio: number; // NaN where there were none before
  readonly lower: number; // exact 95% limits, given both together
  readonly upper: number;
  /** Chance of so few, did the ratio of the months before the latest three still hold; NaN where it can't be had. */
  readonly p: number;
  readonly few: boolean; // clearly fewer than that
}

export interface ReportingLag {
  readonly months: readonly MonthBesideYearBefore[]; // the latest first
  /** Of months 4–12 before the closing date to the same months a year before: how much it grows anyhow. NaN: not known. */
  readonly usual: { readonly procedures: number; readonly revisions: number };
}

const monthsShown = 12, latest = 3, largestChance = 0.01;

/** The latest months against the same months a year before: what is not yet reported is missing there. */
export async function reportingLag(database: Database, closingDate: string): Promise<ReportingLag> {
  const windows = Array.from({ length: monthsShown }, (_, k) => ({ now: monthBefore(closingDate, k), before: monthBefore(closingDate, k + 12) }));
  const procedures = countIn(await daily(database, 'SELECT procedure_day AS at, count(*)::INTEGER AS n FROM followup GROUP BY 1'));
  const revisions = countIn(await daily(database, "SELECT (revision_date - DATE '1970-01-01')::INTEGER AS at, count(*)::INTEGER AS n FROM revisions WHERE kind <> 'reoperation' GROUP BY 1"));
  const ratios = (count: (window: readonly [number, number]) => number) => {
    const now = windows.map((w) => count(w.now)), before = windows.map((w) => count(w.before));
    const usual = sum(now.slice(latest)) / sum(before.slice(latest));
    return { usual, of: (k: number): RatioToYearBefore => ratioOf(now[k]!, before[k]!, k < latest ? usual : NaN) };
  };
  const p = ratios(procedures), r = ratios(revisions);
  return {
    months: windows.map(({ now: [from, to] }, k) => ({ from: dateOf(from + 1), to: dateOf(to), procedures: p.of(k), revisions: r.of(k) })),
    usual: { procedures: p.usual, revisions: r.usual },
  };
}

/** Two counts of one kind: given their sum, the first is binomial. Przyborowski & Wilenski 1940, Biometrika 31:313. */
export function ratioOf(count: number, before: number, usual: number): RatioToYearBefore {
  const total = count + before;
  if (before === 0) return { count, before, ratio: NaN, lower: NaN, upper: NaN, p: NaN, few: false };
  const { lower, upper } = binomialLimits(count, total), odds = (share: number): number => share / (1 - share);
  const p = usual > 0 && usual < Infinity ? binomialTails(count, total, usual / (1 + usual)).lower : NaN;
  return { count, before, ratio: count / before, lower: odds(lower), upper: odds(upper), p, few: p * latest <= largestChance };
}

async function daily(database: Database, query: string): Promise<{ readonly at: Float64Array; readonly n: Float64Array }> {
  const rows = await database.query(sql(query));
  return { at: rows.numbers('at'), n: rows.numbers('n') };
}

const countIn = ({ at, n }: { readonly at: Float64Array; readonly n: Float64Array }) => ([after, to]: readonly [number, number]): number =>
  n.reduce((total, count, i) => (at[i]! > after && at[i]! <= to ? total + count : total), 0);

/** (last day of the month before, last day], as days from 1970-01-01, of the k-th month before the one that ends on the closing day. */
function monthBefore(closingDate: string, k: number): readonly [number, number] {
  return [endOf(closingDate, k + 1), endOf(closingDate, k)];
}
function endOf(closingDate: string, monthsBefore: number): number {
  const [year, month, day] = closingDate.split('-').map(Number) as [number, number, number];
  const isLast = new Date(Date.UTC(year, month, 0)).getUTCDate() === day; // a month that ends with the calendar's keeps doing so
  const length = new Date(Date.UTC(year, month - monthsBefore, 0)).getUTCDate();
  return Date.UTC(year, month - 1 - monthsBefore, isLast ? length : Math.min(day, length)) / msPerDay;
}

const sum = (values: readonly number[]): number => values.reduce((total, v) => total + v, 0);
