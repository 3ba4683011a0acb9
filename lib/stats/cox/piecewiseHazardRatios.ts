import type { Cells, Design, NotEstimable } from '../cells';
import { splitTime, type SplitCells } from '../splitTime';
import { alongColumns } from './alongColumns';
import { fitCox, type CoxFit, type CoxOptions } from './cox';
import { coxModel } from './coxModel';
import { hazardRatios, type HazardRatio } from './hazardRatios';
import { joinedCells, type JoinedCells } from './joinedCells';
import { robustCovariance, type RobustCovariance } from './robust';

export interface PiecewiseOptions extends CoxOptions {
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
  /** Limits and p-values that allow for clusters; default false. */
  readonly robust?: boolean;
}

/** Hazard ratios of the chosen columns within (from, to]; the first period includes time 0. */
export interface Period {
  readonly from: number;
  readonly to: number; // Infinity: to the end
  readonly events: number;
  /** In the order of the chosen columns. */
  readonly ratios: readonly (HazardRatio | (NotEstimable & { readonly name: string }))[];
}

export interface PiecewiseFit {
  readonly status: 'ok';
  readonly periods: readonly Period[];
  /** Columns: the chosen ones period by period, then the others. */
  readonly fit: CoxFit;
  readonly robust: RobustCovariance | NotEstimable | null; // of the chosen columns, period by period
}

/**
 * The effect of the columns `varying` (indexes) apart in each period between the cuts, that of the others constant over time.
 * Hazards are compared within the period among those still at risk in it.
 */
export function piecewiseHazardRatios(cells: Cells, design: Design, varying: readonly number[], cuts: readonly number[], options: PiecewiseOptions = {}): PiecewiseFit | NotEstimable {
  const periods = cuts.length + 1, clustered = options.robust && cells.cluster ? joinedCells(cells, design.pattern, 'together') : null;
  const own = clustered ? { ...design, pattern: clustered.pattern } : design, split = splitTime(clustered?.cells ?? cells, cuts);
  const apart = periodDesign(own, varying, split, periods), joined = joinedCells(byPeriod(split, cuts), apart.pattern, 'together');
  const model = coxModel(joined.cells, { ...apart, pattern: joined.pattern }, options.ties ?? 'efron');
  const fit = fitCox({ ...model, cells: withEntry(joined, split) });
  if (fit.status !== 'ok') return fit;
  const { count, cluster } = cells, members = { count, ...(cluster && { cluster }), ...(clustered && { row: clustered.row }) };
  const chosen = alongColumns(fit, Array.from({ length: periods * varying.length }, (_, at) => at));
  const robust = options.robust ? robustCovariance(chosen, { origin: split.origin, rowOfPiece: joined.row, members }) : null;
  const covariance = robust?.status === 'ok' ? robust.covariance : chosen.covariance;
  const ratios = hazardRatios(chosen, { covariance, ...(options.confidence !== undefined && { confidence: options.confidence }) });
  return {
    status: 'ok',
    fit,
    robust,
    periods: Array.from({ length: periods }, (_, k) => ({
      from: k === 0 ? 0 : cuts[k - 1]!,
      to: cuts[k] ?? Infinity,
      events: eventsWhere(split, k, () => true),
      ratios: varying.map((column, v) => {
        const name = design.names[column]!, at = k * varying.length + v, ratio = ratios[at]!, lost = withoutReference(fit, at, k * varying.length, varying.length);
        if (ratio.status === 'ok' && !lost) return { ...ratio, name };
        const told = emptySide(split, own, varying, column, k);
        return { status: 'notEstimable', name, reason: told ?? (ratio.status === 'ok' ? 'no procedures of the reference group at risk in this period when others were revised' : ratio.reason) };
      }),
    })),
  };
}

/**
 * The pieces with a stratum for each period, which have the same risk sets: whoever was under observation when a period began is at risk in it from
 * the start, and needs no delayed entry.
 */
function byPeriod({ entry, interval, stratum, exit, event, count }: SplitCells, cuts: readonly number[]): Cells {
  const from = entry.slice(), stratumOf = interval.slice();
  for (let i = 0; i < from.length; ++i) {
    if (from[i] === cuts[interval[i]! - 1]) from[i] = -Infinity;
    if (stratum) stratumOf[i]! += stratum[i]! * (cuts.length + 1);
  }
  return { exit, event, count, entry: from, stratum: stratumOf };
}

/** The joined pieces with the times from which they are at risk, as scales of time go by them. */
function withEntry({ cells, row }: JoinedCells, { entry }: SplitCells): Cells {
  const from = new Float64Array(cells.exit.length);
  for (let i = 0; i < row.length; ++i) from[row[i]!] = entry[i]!;
  return { ...cells, entry: from };
}

/** Where columns of one period make up a constant one is left out, and the others would compare with it in the reference group's place. */
function withoutReference({ notEstimable }: CoxFit, column: number, first: number, width: number): boolean {
  return notEstimable.slice(first, first + width).some((reason, v) => reason?.cause === 'collinear' && (first + v === column || reason.others.includes(column)));
}

function eventsWhere({ interval, event, count, origin }: SplitCells, period: number, holds: (cell: number) => boolean): number {
  let sum = 0;
  interval.forEach((k, i) => { if (k === period && event[i] === 1 && holds(origin[i]!)) sum += count[i]!; });
  return sum;
}

/** Which side of a comparison of two levels has no event in the period. */
function emptySide(split: SplitCells, { names, values, pattern }: Design, varying: readonly number[], column: number, period: number): string | null {
  const value = (cell: number, j: number): number => values[pattern[cell]! * names.length + j]!;
  if (eventsWhere(split, period, () => true) === 0) return 'no revisions in this period';
  if (eventsWhere(split, period, (cell) => value(cell, column) !== 0) === 0) return `no revisions with ${names[column]!} in this period`;
  if (eventsWhere(split, period, (cell) => varying.every((j) => value(cell, j) === 0)) === 0) return 'no revisions in the reference group in this period';
  return null;
}

/** A pattern for each pattern and period: the varying columns count only in their own period. */
function periodDesign({ names, values, pattern }: Design, varying: readonly number[], { origin, interval }: SplitCells, periods: number): Design {
  const constant = Array.from(names.keys()).filter((j) => !varying.includes(j));
  const patterns = values.length / names.length, columns = periods * varying.length + constant.length;
  const split = new Float64Array(patterns * periods * columns);
  for (let p = 0; p < patterns; ++p) {
    for (let k = 0; k < periods; ++k) {
      const row = (p * periods + k) * columns;
      varying.forEach((j, v) => { split[row + k * varying.length + v] = values[p * names.length + j]!; });
      constant.forEach((j, c) => { split[row + periods * varying.length + c] = values[p * names.length + j]!; });
    }
  }
  const patternOfPiece = new Int32Array(origin.length);
  for (let piece = 0; piece < origin.length; ++piece) patternOfPiece[piece] = pattern[origin[piece]!]! * periods + interval[piece]!;
  const periodName = (j: number, k: number): string => `${names[j]!} (period ${k + 1})`;
  return {
    names: [...Array.from({ length: periods }, (_, k) => varying.map((j) => periodName(j, k))).flat(), ...constant.map((j) => names[j]!)],
    values: split,
    pattern: patternOfPiece,
  };
}
