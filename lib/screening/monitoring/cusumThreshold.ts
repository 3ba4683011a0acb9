import { randomExponential } from 'd3-random';
import type { NotEstimable } from '../../stats/cells';
import { firstAtLeast } from '../../stats/distinctTimes';
import { randomSource } from '../randomSource';
import { outcomeWeight } from './weights';

export interface ThresholdOptions {
  /** What the chart looks for, as a multiple of the usual risk, above 1. */
  readonly ratio: number;
  /** Chance, above 0 and below 1, of any signal over the whole period although the risk is the usual one. */
  readonly falseAlarm: number;
  readonly seed: number;
  /** Simulated periods; default 10,000. */
  readonly histories?: number;
}

/** A chart that goes above the threshold has signalled. */
export interface CusumThreshold {
  readonly status: 'ok';
  readonly threshold: number;
  /** Share of the simulated periods with a signal: under the usual risk, at most what was asked, and under `ratio` times the risk. */
  readonly falseAlarm: number;
  readonly detection: number;
  /** Of simulation, of the first share. */
  readonly standardError: number;
  readonly histories: number;
}

/**
 * Threshold of a chart of `hazardWeights` for one unit: revisions are simulated at the rate at which `expected` accrues, step by step, over the
 * period that the false-alarm chance is for. Biswas & Kalbfleisch 2008, Stat Med 27:3382.
 */
export function hazardThreshold(expected: Float64Array, options: ThresholdOptions): CusumThreshold | NotEstimable {
  const { ratio } = options, upTo = expected.slice();
  for (let t = 1; t < upTo.length; ++t) upTo[t]! += upTo[t - 1]!;
  const total = upTo.at(-1) ?? 0;
  if (!(total > 0)) return { status: 'notEstimable', reason: 'no revisions are expected in the period' };
  return threshold(options, (uniform, trueRatio) => {
    const wait = randomExponential.source(uniform)(trueRatio);
    let highest = 0;
    // between revisions the chart only falls, so it need be known after steps with revisions alone
    for (let at = wait(), sum = 0, seen = 0; at < total;) {
      const t = firstAtLeast(upTo, at), before = t === 0 ? 0 : upTo[t - 1]!, until = upTo[t]!;
      let revisions = 0;
      for (; at <= until; at += wait()) ++revisions;
      sum = Math.max(0, Math.max(0, sum - (ratio - 1) * (before - seen)) + revisions * Math.log(ratio) - (ratio - 1) * (until - before));
      seen = until;
      highest = Math.max(highest, sum);
    }
    return highest;
  });
}

/**
 * Threshold of a chart of `outcomeWeight` over so many procedures with the unit's case mix: `probability` holds the usual risk of each of its
 * procedures so far, and the simulated ones are drawn from them. Steiner et al. 2000, Biostatistics 1:441.
 */
export function outcomeThreshold(probability: Float64Array, procedures: number, options: ThresholdOptions): CusumThreshold | NotEstimable {
  const { ratio } = options;
  if (probability.length === 0) return { status: 'notEstimable', reason: 'no procedures whose case mix could be taken' };
  const unrevised = probability.map((p) => outcomeWeight(false, p, ratio)), revised = probability.map((p) => outcomeWeight(true, p, ratio));
  return threshold(options, (uniform, trueRatio) => {
    let highest = 0;
    for (let k = 0, sum = 0; k < procedures; ++k) {
      const i = Math.floor(uniform() * probability.length), p = probability[i]!, odds = trueRatio * p;
      sum = Math.max(0, sum + (uniform() * (1 - p + odds) < odds ? revised[i]! : unrevised[i]!));
      highest = Math.max(highest, sum);
    }
    return highest;
  });
}

/** `highest`: simulates one period with so many times the usual risk, and tells how high its chart went. */
function threshold({ ratio, falseAlarm, seed, histories = 10_000 }: ThresholdOptions, highest: (uniform: () => number, trueRatio: number) => number): CusumThreshold {
  if (!(ratio > 1)) throw new RangeError(`ratio must be above 1: ${ratio}`);
  if (!(falseAlarm > 0 && falseAlarm < 1)) throw new RangeError(`falseAlarm must be above 0 and below 1: ${falseAlarm}`);
  const uniform = randomSource(seed);
  const simulated = (trueRatio: number): Float64Array => Float64Array.from({ length: histories }, () => highest(uniform, trueRatio));
  const usual = simulated(1).sort(), kept = usual[histories - 1 - Math.floor(falseAlarm * histories)]!;
  const next = usual.find((v) => v > kept + 1e-9) ?? kept; // halfway to the next height, so that rounding decides nothing
  const found = Math.max((kept + next) / 2, Math.log(ratio)); // a single revision is never a signal
  const share = (values: Float64Array): number => values.reduce((sum, v) => sum + Number(v > found), 0) / histories;
  const reached = share(usual);
  return {
    status: 'ok', threshold: found, falseAlarm: reached, detection: share(simulated(ratio)),
    standardError: Math.sqrt((reached * (1 - reached)) / histories), histories,
  };
}
