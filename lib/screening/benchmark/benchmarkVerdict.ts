import type { NotEstimable } from '../../stats/cells';
import type { PercentAtTime } from '../../stats/cumulativePercentRevision';

/** Set, with its source, joint and year, before results are seen. */
export interface Benchmark {
  /** Cumulative percent revision, above 0 and below 100. */
  readonly percent: number;
  /** How much above it is tolerated, in percentage points, at least 0. */
  readonly margin: number;
}

/** What the whole interval of an estimate lets one say. */
export type Verdict =
  | 'superior' // all of it below the benchmark
  | 'notInferior' // below benchmark plus margin, and on both sides of the benchmark
  | 'inferiorWithinMargin' // above the benchmark, yet below benchmark plus margin
  | 'inferior' // above the benchmark, and on both sides of benchmark plus margin
  | 'inferiorBeyondMargin' // above benchmark plus margin
  | 'cannotSayYet'; // on both sides of both, or too wide for any of these

export interface BenchmarkVerdict {
  readonly status: 'ok';
  readonly verdict: Verdict;
  readonly percent: number;
  readonly lower: number;
  readonly upper: number;
}

/**
 * Two-sided 95 % limits make each verdict a one-sided test at 2.5 %. Where the percent is not estimable there is no verdict.
 * Piaggio et al. 2012, J Am Med Assoc 308:2594 (non-inferiority); Sayers et al. 2017, BMJ Open 7:e015397 (benchmarks of joint replacement).
 */
export function benchmarkVerdict({ estimate }: PercentAtTime, { percent: benchmark, margin }: Benchmark): BenchmarkVerdict | NotEstimable {
  if (!(benchmark > 0 && benchmark < 100)) throw new RangeError(`percent must be above 0 and below 100: ${benchmark}`);
  if (!(margin >= 0)) throw new RangeError(`margin must be at least 0: ${margin}`);
  if (estimate.status !== 'ok') return estimate;
  const { percent, lower, upper } = estimate;
  if (Number.isNaN(lower) || Number.isNaN(upper)) return { status: 'notEstimable', reason: 'the percent has no limits' };
  return { status: 'ok', verdict: verdictOf(lower, upper, benchmark, benchmark + margin), percent, lower, upper };
}

function verdictOf(lower: number, upper: number, benchmark: number, tolerated: number): Verdict {
  if (upper < benchmark) return 'superior';
  if (lower > tolerated) return 'inferiorBeyondMargin';
  if (upper < tolerated) return lower > benchmark ? 'inferiorWithinMargin' : 'notInferior';
  return lower > benchmark ? 'inferior' : 'cannotSayYet';
}
