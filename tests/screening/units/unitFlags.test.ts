import { describe, expect, it } from 'vitest';
import { overdispersion } from '@/lib/screening/funnel/overdispersion';
import { unitFlag, type FlagSettings } from '@/lib/screening/units/unitFlags';
import { estimated } from '../../stats/designs';

const settings: FlagSettings = { minimumExpected: 2, minimumRatio: 1.5, alarmLevel: 0.95, widening: 'additive' };
// Ten units that differ more than by chance; their factor and variance were computed in R (tests/reference/funnel.R).
const observed = [5, 12, 9, 30, 18, 22, 4, 40, 15, 10], expected = [8, 8, 10, 20, 20, 20, 6, 25, 18, 9];
const spread = estimated(overdispersion(observed.map((o, i) => ({ observed: o, expected: expected[i]! }))));

describe('whether a unit is asked about', () => {
  // Limits of chance alone: Spiegelhalter 2005, Stat Med 24:1185; at 5 expected 1.875, at 20 expected 1.437 (tests/reference/funnel.R).
  it.each([
    { story: 'twice what is expected of a middling unit', unit: { observed: 12, expected: 5 }, criteria: ['met', 'met', 'met'], status: 'flagged' },
    { story: 'above its ratio, within its limit', unit: { observed: 9, expected: 5 }, criteria: ['met', 'met', 'notMet'], status: 'passed' },
    { story: 'above its limit, yet not by a ratio that matters', unit: { observed: 29, expected: 20 }, criteria: ['met', 'notMet', 'met'], status: 'passed' },
    { story: 'as expected', unit: { observed: 20, expected: 20 }, criteria: ['met', 'notMet', 'notMet'], status: 'passed' },
    { story: 'too little is expected, whatever was observed', unit: { observed: 9, expected: 1.9 }, criteria: ['notMet', 'met', 'met'], status: 'notAssessed' },
    { story: 'just enough expected and just the ratio', unit: { observed: 9, expected: 6 }, criteria: ['met', 'met', 'notMet'], status: 'passed' },
    { story: 'none revised', unit: { observed: 0, expected: 8 }, criteria: ['met', 'notMet', 'notMet'], status: 'passed' },
  ] as const)('$story: $status', ({ unit, criteria, status }) => {
    const flag = unitFlag(unit, null, null, settings);
    expect(flag.criteria.map((c) => c.name)).toEqual(['expected', 'ratio', 'limit']);
    expect({ criteria: flag.criteria.map((c) => c.status), status: flag.status }).toEqual({ criteria, status });
  });

  it('shows each number beside its bound', () => {
    const { criteria } = unitFlag({ observed: 12, expected: 5 }, null, null, settings);
    expect(criteria.map(({ value }) => value)).toEqual([5, 2.4, 2.4]);
    expect(criteria.map(({ bound }) => bound)).toEqual([2, 1.5, expect.closeTo(1.875, 3)]);
  });

  it('units that differ anyhow have wider limits, so that the same unit passes', () => {
    const unit = { observed: 34, expected: 22 };
    expect(unitFlag(unit, null, null, settings).status).toBe('flagged');
    const widened = unitFlag(unit, null, spread, settings);
    expect(widened.status).toBe('passed');
    const z = 1.959963984540054, limit = (1 + z * Math.sqrt(1 / (4 * 22) + spread.betweenVariance)) ** 2;
    expect(widened.criteria[2]!.bound).toBeCloseTo(limit, 12);
  });

  it('a stricter level asks about fewer', () => {
    const unit = { observed: 12, expected: 5 };
    expect(unitFlag(unit, null, null, { ...settings, alarmLevel: 0.998 }).status).toBe('passed');
    expect(unitFlag(unit, null, null, { ...settings, minimumRatio: 3 }).status).toBe('passed');
    expect(unitFlag(unit, null, null, { ...settings, minimumExpected: 6 }).status).toBe('notAssessed');
  });

  it('without a ratio nothing is applied, and says why', () => {
    const { criteria, status } = unitFlag(null, 'no revisions are expected', spread, settings);
    expect(status).toBe('notAssessed');
    for (const criterion of criteria) expect(criterion).toMatchObject({ status: 'notApplied', value: NaN, reason: 'no revisions are expected' });
  });
});
