import type { NotEstimable } from '../../stats/cells';
import { finish, type InPieces } from '../../stats/inPieces';
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
  /** Of simulation, of the first share and of the second. */
  readonly standardError: number;
  readonly detectionError: number;
  readonly histories: number;
}

const piece = 100_000; // revisions or procedures: some hundredths of a second

/** How high the chart of one simulated period goes, at so many times the usual risk; it need not be followed above `enough`. */
type Highest = (uniform: () => number, trueRatio: number, enough: number) => number;

/**
 * Threshold of a chart of `hazardWeights` for one unit: revisions are simulated at the rate at which `expected` accrues, step by step, over the
 * period that the false-alarm chance is for. Biswas & Kalbfleisch 2008, Stat Med 27:3382.
 */
export const hazardThreshold = (expected: Float64Array, options: ThresholdOptions): CusumThreshold | NotEstimable => finish(hazardThresholdInPieces(expected, options));

export function* hazardThresholdInPieces(expected: Float64Array, options: ThresholdOptions): InPieces<CusumThreshold | NotEstimable, number> {
  const period = accrual(expected);
  if (!(period.total > 0)) return { status: 'notEstimable', reason: 'no revisions are expected in the period' };
  return yield* threshold(options, highestOf(period, options.ratio), 1 + period.total);
}

/** Chance, 0–1, of any signal over the period of `expected`, at `trueRatio` times the usual risk, with the threshold as it is. */
export function* signalChanceInPieces(
  expected: Float64Array, threshold: number, { ratio, trueRatio, seed, histories }: { readonly ratio: number; readonly trueRatio: number; readonly seed: number; readonly histories: number },
): InPieces<number, number> {
  const period = accrual(expected), uniform = randomSource(seed), highest = highestOf(period, ratio);
  const signals = yield* simulated(histories, () => highest(uniform, trueRatio, threshold), 1 + period.total, 0, 1);
  return signals.reduce((sum, v) => sum + Number(v > threshold), 0) / histories;
}

interface Accrual {
  /** Expected by the end of each step. */
  readonly upTo: Float64Array;
  readonly total: number;
  /** By the whole multiples of `total`/(length − 1): the first step that reaches them. */
  readonly stepAt: Int32Array;
}

function accrual(expected: Float64Array): Accrual {
  const upTo = expected.slice();
  for (let t = 1; t < upTo.length; ++t) upTo[t]! += upTo[t - 1]!;
  const total = upTo.at(-1) ?? 0, places = 2 * upTo.length, stepAt = new Int32Array(places + 1);
  for (let i = 0, t = 0; i <= places; ++i) {
    while (t < upTo.length - 1 && upTo[t]! < (total * i) / places) ++t;
    stepAt[i] = t;
  }
  return { upTo, total, stepAt };
}

const highestOf = ({ upTo, total, stepAt }: Accrual, ratio: number): Highest => (uniform, trueRatio, enough) => {
  const up = Math.log(ratio), fall = ratio - 1, places = (stepAt.length - 1) / total;
  let highest = 0, sum = 0, seen = 0;
  // between revisions the chart only falls, so it need be known after steps with revisions alone
  for (let at = -Math.log1p(-uniform()) / trueRatio; at < total && highest <= enough;) {
    let t = stepAt[Math.floor(at * places)]!;
    while (t > 0 && upTo[t - 1]! >= at) --t; // where rounding went one place too far
    while (upTo[t]! < at) ++t;
    const before = t === 0 ? 0 : upTo[t - 1]!, until = upTo[t]!;
    let revisions = 0;
    for (; at <= until; at -= Math.log1p(-uniform()) / trueRatio) ++revisions;
    sum = Math.max(0, Math.max(0, sum - fall * (before - seen)) + revisions * up - fall * (until - before));
    seen = until;
    if (sum > highest) highest = sum;
  }
  return highest;
};

/**
 * Threshold of a chart of `outcomeWeight` over so many procedures with the unit's case mix: `probability` holds the usual risk of each of its
 * procedures so far, and the simulated ones are drawn from them. Steiner et al. 2000, Biostatistics 1:441.
 */
export function outcomeThreshold(probability: Float64Array, procedures: number, options: ThresholdOptions): CusumThreshold | NotEstimable {
  const { ratio } = options;
  if (probability.length === 0) return { status: 'notEstimable', reason: 'no procedures whose case mix could be taken' };
  const unrevised = probability.map((p) => outcomeWeight(false, p, ratio)), revised = probability.map((p) => outcomeWeight(true, p, ratio));
  const highest: Highest = (uniform, trueRatio, enough) => {
    let highest = 0;
    for (let k = 0, sum = 0; k < procedures && highest <= enough; ++k) {
      const i = Math.floor(uniform() * probability.length), p = probability[i]!, odds = trueRatio * p;
      sum = Math.max(0, sum + (uniform() * (1 - p + odds) < odds ? revised[i]! : unrevised[i]!));
      highest = Math.max(highest, sum);
    }
    return highest;
  };
  return finish(threshold(options, highest, procedures));
}

function* threshold({ ratio, falseAlarm, seed, histories = 10_000 }: ThresholdOptions, highest: Highest, work: number): InPieces<CusumThreshold, number> {
  if (!(ratio > 1)) throw new RangeError(`ratio must be above 1: ${ratio}`);
  if (!(falseAlarm > 0 && falseAlarm < 1)) throw new RangeError(`falseAlarm must be above 0 and below 1: ${falseAlarm}`);
  const uniform = randomSource(seed);
  const usual = (yield* simulated(histories, () => highest(uniform, 1, Infinity), work, 0, 0.5)).sort(), kept = usual[histories - 1 - Math.floor(falseAlarm * histories)]!;
  const next = usual.find((v) => v > kept + 1e-9) ?? kept; // halfway to the next height, so that rounding decides nothing
  const found = Math.max((kept + next) / 2, Math.log(ratio)); // a single revision is never a signal
  const raised = yield* simulated(histories, () => highest(uniform, ratio, found), work, 0.5, 1);
  const share = (values: Float64Array): number => values.reduce((sum, v) => sum + Number(v > found), 0) / histories;
  const error = (p: number): number => Math.sqrt((p * (1 - p)) / histories);
  const [reached, detection] = [share(usual), share(raised)];
  return { status: 'ok', threshold: found, falseAlarm: reached, detection, standardError: error(reached), detectionError: error(detection), histories };
}

/** The height of each history; `work`: about how many revisions or procedures one takes. */
function* simulated(histories: number, height: () => number, work: number, from: number, to: number): InPieces<Float64Array, number> {
  const heights = new Float64Array(histories), each = Math.max(1, Math.floor(piece / work));
  for (let i = 0; i < histories; ++i) {
    heights[i] = height();
    if ((i + 1) % each === 0) yield from + ((to - from) * (i + 1)) / histories;
  }
  return heights;
}
