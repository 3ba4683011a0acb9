import type { BalanceRow } from '../../analysis/chapters/sameCaseMixResult';
import { formatRatio } from '../format';
import { ticksFromZero } from '../ticks';

/** Standardised differences before and after weighting. Places are 0–100 from left to right. */
export interface BalanceFigure {
  readonly title: string;
  readonly ticks: readonly { readonly at: number; readonly label: string }[];
  readonly threshold: number; // place beyond which a difference is often read as imbalance
  readonly rows: readonly {
    readonly label: string;
    readonly level: string;
    readonly newBlock: boolean;
    readonly before: Mark;
    readonly after: Mark;
    readonly staysInside?: boolean; // gives a small count of people away
  }[];
}
interface Mark { readonly at: number; readonly runsOff: boolean; readonly text: string; readonly value: number }

export const imbalance = 0.1; // absolute standardised difference; Austin 2009, Stat Med 28:3083
const widest = 1;

export function balanceFigure(rows: readonly BalanceRow[], staysInside: (row: BalanceRow) => boolean): BalanceFigure {
  const finite = rows.flatMap(({ before, after }) => [before.largestDifference, after.largestDifference]).filter(Number.isFinite);
  const ticks = ticksFromZero(Math.min(widest, Math.max(0.2, ...finite)), 5), end = ticks.at(-1) ?? widest;
  const place = (value: number) => (100 * value) / end;
  const mark = (value: number): Mark => ({ at: Math.min(100, place(value)), runsOff: value > end, text: Number.isFinite(value) ? formatRatio(value) : 'all against none', value });
  return {
    title: 'Standardised differences between the groups, before and after weighting',
    ticks: ticks.map((tick) => ({ at: place(tick), label: String(tick) })),
    threshold: place(imbalance),
    rows: rows.map((row, i) => { const { covariate, label, level, before, after } = row; return {
      label: rows[i - 1]?.covariate === covariate ? '' : label, level: level ?? 'mean', newBlock: i > 0 && rows[i - 1]?.covariate !== covariate,
      before: mark(before.largestDifference), after: mark(after.largestDifference), staysInside: staysInside(row),
    }; }),
  };
}
