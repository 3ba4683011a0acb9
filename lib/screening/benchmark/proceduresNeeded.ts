import { normalQuantile } from '../../stats/distributions/normal';
import type { OneSidedErrorRates } from '../../stats/precision/expectedNeeded';
import type { Benchmark } from './benchmarkVerdict';

export interface BenchmarkPlan extends OneSidedErrorRates {
  /** What the true percent is supposed to be; default the benchmark itself. */
  readonly truePercent?: number;
}

/**
 * Procedures, all followed to the benchmark's year, at which the upper limit falls below benchmark plus margin with the power asked for
 * (default 0.8, one-sided error 0.025). With follow-up that ends earlier, more. The normal approximation of one proportion against a fixed bound,
 * as in planning benchmarks of joint replacement: Sayers et al. 2017, BMJ Open 7:e015397. Infinity where the true percent is not below the bound.
 */
export function proceduresNeeded({ percent, margin }: Benchmark, { alpha = 0.025, power = 0.8, truePercent = percent }: BenchmarkPlan = {}): number {
  if (!(truePercent > 0 && truePercent < 100)) throw new RangeError(`truePercent must be above 0 and below 100: ${truePercent}`);
  const proportion = truePercent / 100, distance = (percent + margin) / 100 - proportion;
  if (!(distance > 0)) return Infinity;
  return Math.ceil(((normalQuantile(power) - normalQuantile(alpha)) ** 2 * proportion * (1 - proportion)) / distance ** 2);
}
