import { randomGamma } from 'd3-random';
import type { NotEstimable } from '../../stats/cells';
import type { Counted } from '../funnel/overdispersion';
import { randomSource } from '../randomSource';
import { countsBelow } from './countsBelow';
import type { RatioSpread } from './gammaPoisson';
import { posterior } from './shrunkenRatio';

/** Places from 1 (lowest ratio) to the number of units: half of the draws are at or below the median, and the limits enclose `confidence` of them. */
export interface RankInterval { readonly lower: number; readonly median: number; readonly upper: number }

export interface RankOptions {
  readonly seed: number;
  /** Default 4000. */
  readonly draws?: number;
  readonly confidence?: number;
}

/**
 * How little is known of the order of the units: ratios are drawn from their posteriors and ranked, again and again.
 * Goldstein & Spiegelhalter 1996, J R Stat Soc A 159:385.
 */
export function rankUncertainty(spread: RatioSpread | NotEstimable, units: readonly Counted[], { seed, draws = 4000, confidence = 0.95 }: RankOptions): RankInterval[] | NotEstimable {
  if (spread.status === 'notEstimable') return spread;
  if (spread.status === 'noExcess') return { status: 'notEstimable', reason: 'the units differ no more than by chance, so they have no order' };
  const gamma = randomGamma.source(randomSource(seed)), size = units.length;
  const draw = units.map((unit) => {
    const { shape, rate } = posterior(spread, unit);
    return gamma(shape, 1 / rate);
  });
  const times = Array.from({ length: size }, () => new Int32Array(size)); // times[unit][place from 0]
  const ratio = new Float64Array(size), placesOf = countsBelow(size);
  for (let k = 0; k < draws; ++k) {
    for (let i = 0; i < size; ++i) ratio[i] = draw[i]!();
    const places = placesOf(ratio);
    for (let i = 0; i < size; ++i) ++times[i]![places[i]!]!;
  }
  const tail = (1 - confidence) / 2;
  return times.map((counts) => ({ lower: placeAt(counts, tail * draws), median: placeAt(counts, draws / 2), upper: placeAt(counts, (1 - tail) * draws) }));
}

/** The first place by which so many draws have been met. */
function placeAt(counts: Int32Array, draws: number): number {
  let met = 0;
  return counts.findIndex((n) => (met += n) >= draws) + 1;
}
