import type { Cells, Design, NotEstimable } from '../cells';
import { taken } from '../subset';
import { alongColumns } from './alongColumns';
import { fitCox, type CoxFit, type CoxOptions } from './cox';
import { coxModel } from './coxModel';
import { hazardRatios, type HazardRatio } from './hazardRatios';
import { joinedAcrossClusters } from './joinedCells';
import { periodPieces, type PeriodPieces } from './periodPieces';
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
  const periods = cuts.length + 1, joined = joinedAcrossClusters(cells, design.pattern), pieces = periodPieces(joined, cuts);
  const model = coxModel(pieces.cells, periodDesign(design, varying, pieces.pattern, periods), options.ties ?? 'efron');
  const fit = fitCox({ ...model, cells: { ...pieces.cells, entry: pieces.entry } });
  if (fit.status !== 'ok') return fit;
  const chosen = alongColumns(fit, Array.from({ length: periods * varying.length }, (_, at) => at));
  const { count, cluster } = cells, row = taken(pieces.last, joined.row, new Int32Array(count.length));
  const robust = options.robust ? robustCovariance(chosen, { before: pieces.before, members: { count, row, ...(cluster && { cluster }) } }) : null;
  const covariance = robust?.status === 'ok' ? robust.covariance : chosen.covariance;
  const ratios = hazardRatios(chosen, { covariance, ...(options.confidence !== undefined && { confidence: options.confidence }) });
  const patterns = design.values.length / design.names.length, events = eventCounts(pieces, patterns, periods);
  const eventsWhere = (period: number, holds: (pattern: number) => boolean): number => {
    let sum = 0;
    for (let p = 0; p < patterns; ++p) if (holds(p)) sum += events[p * periods + period]!;
    return sum;
  };
  return {
    status: 'ok',
    fit,
    robust,
    periods: Array.from({ length: periods }, (_, k) => ({
      from: k === 0 ? 0 : cuts[k - 1]!,
      to: cuts[k] ?? Infinity,
      events: eventsWhere(k, () => true),
      ratios: varying.map((column, v) => {
        const name = design.names[column]!, at = k * varying.length + v, ratio = ratios[at]!, lost = withoutReference(fit, at, k * varying.length, varying.length);
        if (ratio.status === 'ok' && !lost) return { ...ratio, name };
        const told = emptySide((holds) => eventsWhere(k, holds), design, varying, column);
        return { status: 'notEstimable', name, reason: told ?? (ratio.status === 'ok' ? 'no procedures of the reference group at risk in this period when others were revised' : ratio.reason) };
      }),
    })),
  };
}

/** Where columns of one period make up a constant one is left out, and the others would compare with it in the reference group's place. */
function withoutReference({ notEstimable }: CoxFit, column: number, first: number, width: number): boolean {
  return notEstimable.slice(first, first + width).some((reason, v) => reason?.cause === 'collinear' && (first + v === column || reason.others.includes(column)));
}

/** Events by pattern and period. */
function eventCounts({ cells: { event, count }, pattern }: PeriodPieces, patterns: number, periods: number): Float64Array {
  const events = new Float64Array(patterns * periods);
  for (let piece = 0; piece < event.length; ++piece) if (event[piece] === 1) events[pattern[piece]!]! += count[piece]!;
  return events;
}

/** Which side of a comparison of two levels has no event in the period. */
function emptySide(eventsWhere: (holds: (pattern: number) => boolean) => number, { names, values }: Design, varying: readonly number[], column: number): string | null {
  const value = (pattern: number, j: number): number => values[pattern * names.length + j]!;
  if (eventsWhere(() => true) === 0) return 'no revisions in this period';
  if (eventsWhere((pattern) => value(pattern, column) !== 0) === 0) return `no revisions with ${names[column]!} in this period`;
  if (eventsWhere((pattern) => varying.every((j) => value(pattern, j) === 0)) === 0) return 'no revisions in the reference group in this period';
  return null;
}

/** A pattern for each pattern and period: the varying columns count only in their own period. */
function periodDesign({ names, values }: Design, varying: readonly number[], pattern: Int32Array, periods: number): Design {
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
  const periodName = (j: number, k: number): string => `${names[j]!} (period ${k + 1})`;
  return {
    names: [...Array.from({ length: periods }, (_, k) => varying.map((j) => periodName(j, k))).flat(), ...constant.map((j) => names[j]!)],
    values: split,
    pattern,
  };
}
