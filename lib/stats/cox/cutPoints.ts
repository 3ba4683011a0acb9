import type { Cells, Design, NotEstimable } from '../cells';
import { cholesky, quadraticForm } from '../cholesky';
import { chiSquareUpperTail } from '../distributions/chiSquare';
import { product } from '../product';
import type { CoxFit, CoxOptions } from './cox';
import { piecewiseHazardRatios, type PiecewiseFit } from './piecewiseHazardRatios';
import { proportionalHazards, type ProportionalHazardsTest } from './proportionalHazards';
import { sumsAfter } from './sumsAfter';

/** The best place for one more cut, and whether the data support it. */
export interface CutTried {
  readonly time: number;
  /** Likelihood ratio of the ratios changing there, and its p-value for a time fixed beforehand. */
  readonly chisq: number;
  readonly df: number;
  readonly p: number;
  /** Event times among which it was chosen. */
  readonly candidates: number;
  /** p must be below this: α/(2^(k − 1) · candidates) for the k-th cut. */
  readonly needed: number;
  readonly accepted: boolean;
}

export interface CutPoints {
  readonly status: 'ok';
  /** Accepted, ascending. */
  readonly cuts: readonly number[];
  /** In the order of trial; the last may have been refused. */
  readonly tried: readonly CutTried[];
  /** Ratios between the cuts. Their limits take the cuts for known: too narrow. */
  readonly piecewise: PiecewiseFit;
  /** Whether the ratios still drift within the pieces, a term per piece. */
  readonly within: ProportionalHazardsTest;
}

export interface CutPointOptions extends CoxOptions {
  /** Default 0.05. */
  readonly alpha?: number;
  /** Most cuts; default 2. */
  readonly most?: number;
  /** Least events between two cuts; default 10. */
  readonly minEvents?: number;
}

const compared = 5;

/**
 * Exploratory: times at which the effect of the columns `varying` (indexes) changes, found in the data themselves. Each cut is the event time
 * with the largest likelihood ratio, sought among all that leave enough events on either side; of these the score test picks the few whose
 * likelihood ratio is then computed.
 * Liang, Self & Liu 1990, Biometrics 46:783 (one cut); Goodman, Li & Tiwari 2011, J Appl Stat 38:2523 (α halved with each further cut); Bonferroni's
 * correction for the number of candidates.
 */
export function cutPoints(cells: Cells, design: Design, varying: readonly number[], options: CutPointOptions = {}): CutPoints | NotEstimable {
  const { alpha = 0.05, most = 2, minEvents = 10 } = options, tried: CutTried[] = [];
  let cuts: readonly number[] = [], now = piecewiseHazardRatios(cells, design, varying, cuts, options);
  if (now.status !== 'ok') return now;
  while (cuts.length < most) {
    const candidates = scored(now.fit, cuts, varying.length, minEvents);
    const before = now.fit.logLikelihood.fitted;
    let best: { readonly time: number; readonly chisq: number; readonly fit: PiecewiseFit } | null = null;
    for (const { time } of candidates.slice(0, compared)) {
      const fit = piecewiseHazardRatios(cells, design, varying, ascending([...cuts, time]), options);
      if (fit.status !== 'ok') continue;
      const chisq = Math.max(0, 2 * (fit.fit.logLikelihood.fitted - before));
      if (!best || chisq > best.chisq) best = { time, chisq, fit };
    }
    if (!best) break;
    const p = chiSquareUpperTail(best.chisq, varying.length), needed = alpha / (2 ** cuts.length * candidates.length), accepted = p < needed;
    tried.push({ time: best.time, chisq: best.chisq, df: varying.length, p, candidates: candidates.length, needed, accepted });
    if (!accepted) break;
    cuts = ascending([...cuts, best.time]);
    now = best.fit;
  }
  const terms = now.periods.map((_, k) => ({ name: `period ${k + 1}`, columns: varying.map((_column, v) => k * varying.length + v) }));
  return { status: 'ok', cuts, tried, piecewise: now, within: proportionalHazards(now.fit, 'km', terms) };
}

const ascending = (times: readonly number[]): number[] => [...times].sort((a, b) => a - b);

/** Candidate times, best first, by the score test of the period's columns having another effect after the time. */
function scored({ state, maximum, notEstimable, names }: CoxFit, cuts: readonly number[], width: number, minEvents: number): { time: number; chisq: number }[] {
  const { time, eventsUpTo, score, information } = sumsAfter(state), columns = names.length, square = columns * columns;
  const upTo = new Map([...time].map((t, k) => [t, eventsUpTo[k]!])), all = eventsUpTo.at(-1) ?? 0;
  const eventsIn = (from: number, to: number): number => (upTo.get(to) ?? all) - (upTo.get(from) ?? 0);
  const candidates = [...time].flatMap((t, k) => {
    const period = cuts.filter((c) => c < t).length, from = cuts[period - 1] ?? -1, to = cuts[period] ?? Infinity;
    return eventsIn(from, t) >= minEvents && eventsIn(t, to) >= minEvents ? [{ time: t, k, period }] : [];
  });
  return candidates.map(({ time: t, k, period }) => {
    const gradient = score.subarray(k * columns, (k + 1) * columns), own = information.subarray(k * square, (k + 1) * square);
    const explained = product(product(own, maximum.covariance, columns), own, columns);
    const tested = Array.from({ length: width }, (_, v) => period * width + v).filter((j) => notEstimable[j] === null), order = tested.length;
    const left = Float64Array.from({ length: order * order }, (_, k) => {
      const at = tested[Math.floor(k / order)]! * columns + tested[k % order]!;
      return own[at]! - explained[at]!;
    });
    const factor = cholesky(left, order, (i) => 1e-10 * own[tested[i]! * (columns + 1)]!);
    return { time: t, chisq: quadraticForm(factor, Float64Array.from(tested, (j) => gradient[j]!)) };
  }).sort((a, b) => b.chisq - a.chisq);
}
