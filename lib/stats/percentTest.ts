import type { NotEstimable } from './cells';
import type { PercentEstimate } from './cumulativePercentRevision';
import { chiSquareUpperTail } from './distributions/chiSquare';

export interface PercentTest {
  readonly status: 'ok';
  readonly chisq: number;
  readonly df: number;
  readonly p: number;
}

/**
 * Test that two or more independent groups have equal percents at one time chosen beforehand, by their log(−log S).
 * Klein, Logan, Harhoff & Andersen 2007, Stat Med 26:4505.
 */
export function percentTest(groups: readonly PercentEstimate[]): PercentTest | NotEstimable {
  if (groups.length < 2) return { status: 'notEstimable', reason: 'fewer than two groups' };
  if (groups.some((g) => g.noEvents)) return { status: 'notEstimable', reason: 'no revisions in one of the groups by then' };
  const transformed = groups.map(({ percent, standardError }) => {
    const survival = 1 - percent / 100, log = Math.log(survival);
    return { value: Math.log(-log), weight: ((survival * log) / standardError) ** 2 };
  });
  if (transformed.some(({ weight }) => !(weight < Infinity))) return { status: 'notEstimable', reason: 'all of one of the groups revised by then' };
  const weights = transformed.reduce((sum, { weight }) => sum + weight, 0);
  const mean = transformed.reduce((sum, { value, weight }) => sum + weight * value, 0) / weights;
  const chisq = transformed.reduce((sum, { value, weight }) => sum + weight * (value - mean) ** 2, 0), df = groups.length - 1;
  return { status: 'ok', chisq, df, p: chiSquareUpperTail(chisq, df) };
}
