import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { StudyPlan } from '@/lib/contract/studyPlan';
import { powersAtHand, powersWith, sampleSize, type SampleSize } from '@/lib/planning/sampleSize';

const arms = (...labels: string[]) => labels.map((label) => ({ label }));
const plan = (content: object): StudyPlan => StudyPlan.parse({ plan: 1, title: 'A plan', assignment: 'random', attritionPercent: 0, arms: arms('A', 'B'), ...content });
const sized = (content: object): SampleSize => {
  const result = sampleSize(plan(content));
  if (result.status !== 'ok') throw new Error(result.reason);
  return result;
};
const analysed = (content: object) => sized(content).arms.map((arm) => arm.analysed);

describe('how many procedures a plan needs', () => {
  // power.prop.test(p1 = .50, p2 = .75, power = .90): n = 76.7, the example of R's help page
  it('a sign in half against three quarters, 90%: 77 in each arm', () => {
    expect(analysed({ endPoint: { kind: 'proportion', shares: [0.5, 0.75] }, power: 0.9 })).toEqual([77, 77]);
  });
  // power.t.test(power = .90, delta = 1): n = 22.02, the example of R's help page
  it('one standard deviation of a score, 90%: 23 in each arm', () => {
    expect(analysed({ endPoint: { kind: 'mean', means: [50, 60], sd: 10 }, power: 0.9 })).toEqual([23, 23]);
  });
  // power.anova.test(groups = 4 …) is R's example with four; here three arms at –1, 0, 1 and sd 2: n = 20.3 by power.anova.test(3, between.var = 1, within.var = 4, power = .8)
  it('three arms, whether any differs', () => {
    expect(analysed({ arms: arms('A', 'B', 'C'), comparisons: 'overall', endPoint: { kind: 'mean', means: [-1, 0, 1], sd: 2 } })).toEqual([21, 21, 21]);
  });
  // Schoenfeld 1983: 66 events for a doubling with 80%, equal arms
  it('a doubled revision hazard: 66 revisions or the few more that whole procedures make', () => {
    const { arms: both } = sized({ endPoint: { kind: 'revision', percents: [100 * (1 - 0.95), 100 * (1 - 0.95 ** 2)], atYears: 10, accrualYears: 3, furtherYears: 10, lossPercentPerYear: 3 } });
    const revisions = both.reduce((sum, arm) => sum + (arm.revisions ?? 0), 0);
    expect(revisions).toBeGreaterThan(65.3);
    expect(revisions).toBeLessThan(66);
  });
  // R 4.2.2: events by Schoenfeld's formula 84.64, chances of an event by integrate() 0.0604 and 0.1081: n = 502.4
  it('5% against 9% revised by five years, three years of accrual and five more, 2% a year lost: 503 in each arm', () => {
    expect(analysed({ endPoint: { kind: 'revision', percents: [5, 9], atYears: 5, accrualYears: 3, furtherYears: 5, lossPercentPerYear: 2 } })).toEqual([503, 503]);
  });
  // R 4.2.2: power.prop.test(p1 = .3, p2 = .5, power = .8, sig.level = .05 / 3): n = 124.3
  it('three arms, every pair at a third of the level: 125 in each arm', () => {
    expect(analysed({ arms: arms('A', 'B', 'C'), endPoint: { kind: 'proportion', shares: [0.3, 0.5, 0.7] } })).toEqual([125, 125, 125]);
  });
  it('who adjusts for the score before surgery needs fewer', () => {
    const score = { kind: 'mean', means: [70, 76], sd: 18 };
    const [without] = analysed({ endPoint: score }), [adjusted] = analysed({ endPoint: { ...score, baselineCorrelation: 0.6 } });
    expect(adjusted! / without!).toBeCloseTo(1 - 0.36, 1);
  });
  it('attrition and clusters are allowed for', () => {
    const content = { endPoint: { kind: 'proportion', shares: [0.1, 0.3] } };
    const plain = sized(content), lossy = sized({ ...content, attritionPercent: 20 }), clustered = sized({ ...content, perCluster: 11, clusterCorrelation: 0.1 });
    expect(lossy.arms[0]!.analysed).toBe(plain.arms[0]!.analysed);
    expect(lossy.arms[0]!.recruited).toBe(Math.ceil(plain.arms[0]!.analysed / 0.8));
    expect(clustered.designEffect).toBe(2);
    expect(clustered.arms[0]!.analysed / plain.arms[0]!.analysed).toBeCloseTo(2, 1);
  });
  it('three pairs share alpha, and the hardest one decides', () => {
    const three = sized({ arms: arms('stemless', 'short', 'standard'), endPoint: { kind: 'proportion', shares: [0.4, 0.6, 0.8] } });
    expect(three.powers.map(({ arms: pair, alpha }) => ({ pair, alpha }))).toEqual([[0, 1], [0, 2], [1, 2]].map((pair) => ({ pair, alpha: 0.05 / 3 })));
    expect(Math.min(...three.powers.map(({ power }) => power ?? NaN))).toBeGreaterThanOrEqual(0.8);
  });
});

it('with the procedures that can be had, the power is that of those who reach the end point', () => {
  const content = { endPoint: { kind: 'proportion', shares: [0.3, 0.5] }, attritionPercent: 10, recruitable: 100 }, found = powersAtHand(plan(content))!;
  expect(found.recruited).toEqual([100, 100]);
  expect(found.powers[0]!.power).toBeCloseTo(0.7868083647, 9); // R 4.2.2: power.prop.test(n = 90, p1 = .3, p2 = .5)
  expect(powersAtHand(plan({ ...content, recruitable: null }))).toBeNull();
});

describe('what cannot be planned says so', () => {
  it.each([
    ['no difference', { endPoint: { kind: 'mean', means: [60, 60], sd: 10 } }, 'no difference is expected between A and B: there is none to be seen'],
    ['at the margin', { endPoint: { kind: 'proportion', shares: [0.1, 0.2], margin: 0.1 } }, 'A and B: what is expected lies at the margin or beyond it'],
    ['hopeless', { endPoint: { kind: 'mean', means: [60, 60.001], sd: 20 } }, 'more than 5,000,000 procedures in an arm would be needed'],
  ])('%s', (_, content, reason) => { expect(sampleSize(plan(content))).toEqual({ status: 'notEstimable', reason }); });
  it('arms and values must go together', () => {
    expect(() => plan({ endPoint: { kind: 'proportion', shares: [0.1, 0.2, 0.3] } })).toThrow('there are 2 arms, but 3 values are expected');
  });
});

it('the numbers are enough, and one procedure fewer in the smallest arm is not', () => {
  const share = fc.integer({ min: 1, max: 99 }).map((k) => k / 100);
  fc.assert(fc.property(share, share, fc.constantFrom(1, 2, 3), fc.constantFrom(0.8, 0.9), (p, q, weight, power) => {
    fc.pre(Math.abs(p - q) > 0.02);
    const content = { arms: [{ label: 'A', weight }, { label: 'B' }], endPoint: { kind: 'proportion', shares: [p, q] }, power };
    const [a, b] = sized(content).arms, at = (n: number) => powersWith(plan(content), [n * weight, n])[0]!.power!;
    expect(a!.analysed).toBe(weight * b!.analysed);
    expect(at(b!.analysed)).toBeGreaterThanOrEqual(power);
    if (b!.analysed > 2) expect(at(b!.analysed - 1)).toBeLessThan(power);
  }));
});
