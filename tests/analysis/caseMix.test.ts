import { expect, it } from 'vitest';
import { largestStandardisedDifference } from '@/lib/analysis/caseMix';

// |p − q| / √((p(1 − p) + q(1 − q)) / 2), worked by hand: 0.5 v 0.1 is 0.4 / √((0.25 + 0.09) / 2).
it.each([
  { percents: [50, 10], difference: 0.4 / Math.sqrt(0.17) },
  { percents: [50, 50, 10], difference: 0.4 / Math.sqrt(0.17) },
  { percents: [20, 20], difference: 0 },
  { percents: [100, 100], difference: 0 },
  { percents: [100, 0], difference: Infinity },
  { percents: [30], difference: 0 },
])('$percents % differ by $difference standard deviations', ({ percents, difference }) => {
  expect(largestStandardisedDifference(percents)).toBeCloseTo(difference, 14);
});
