import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { gammaTails } from '@/lib/stats/distributions/incompleteGamma';
import { eventTable } from '@/lib/stats/eventTable';
import { kaplanMeier } from '@/lib/stats/kaplanMeier';
import { detectableHazardRatio, eventsNeeded } from '@/lib/stats/precision/eventsNeeded';
import { detectableRatio, expectedNeeded } from '@/lib/stats/precision/expectedNeeded';
import { timeToExpectedEvents } from '@/lib/stats/precision/timeToExpectedEvents';
import { stopOf } from '@/lib/stats/stopRule';
import { cellsOf, fixture } from './rows';

const [, , { events }, { needed }, { seen }] = (fixture('evidence') as {
  cases: [object, object, { events: Record<'hr' | 'share' | 'power' | 'events', number[]> }, { needed: Record<'ratio' | 'power' | 'expected', number[]> }, { seen: Record<'expected' | 'power' | 'ratio', number[]> }];
}).cases;

describe('events needed in both groups together', () => {
  it('by Schoenfeld’s formula', () => {
    events.hr.forEach((hr, k) => { expect(eventsNeeded(hr, events.share[k]!, { power: events.power[k]! }) / events.events[k]!).toBeCloseTo(1, 12); });
  });
  it('and the ratio seen with them, which is the way back', () => {
    fc.assert(fc.property(fc.double({ min: 1.01, max: 20, noNaN: true }), fc.double({ min: 0.01, max: 0.99, noNaN: true }), (hr, share) => {
      expect(detectableHazardRatio(eventsNeeded(hr, share), share)).toBeCloseTo(hr, 8);
      expect(eventsNeeded(1 / hr, share) / eventsNeeded(hr, share)).toBeCloseTo(1, 8);
    }));
    expect(detectableHazardRatio(0, 0.5)).toBe(Infinity);
  });
  it('all procedures in one group, or no ratio at all, is refused', () => {
    expect(() => eventsNeeded(2, 1)).toThrow('share must be above 0 and below 1: 1');
    expect(() => eventsNeeded(0, 0.5)).toThrow('hazardRatio must be above 0: 0');
  });
});

describe('expected events against a known reference', () => {
  it('from which on a ratio is seen, against a grid of thousandths', () => {
    needed.ratio.forEach((ratio, k) => {
      const found = expectedNeeded(ratio, { power: needed.power[k]! });
      expect(found).toBeGreaterThan(needed.expected[k]! - 0.001001);
      expect(found).toBeLessThanOrEqual(needed.expected[k]!);
    });
  });
  it('a doubling: 12.4 for a power of 0.8, 16.4 for 0.9', () => {
    expect(expectedNeeded(2)).toBeCloseTo(12.4, 1);
    expect(expectedNeeded(2, { power: 0.9 })).toBeCloseTo(16.4, 1);
  });
  it('the ratio seen with so many', () => {
    seen.expected.forEach((expected, k) => { expect(detectableRatio(expected, { power: seen.power[k]! })).toBeCloseTo(seen.ratio[k]!, 7); });
    expect(detectableRatio(0)).toBe(Infinity);
  });
  it('from there on the power is never below what is asked', () => {
    fc.assert(fc.property(fc.double({ min: 1.2, max: 5, noNaN: true }), fc.double({ min: 0, max: 3, noNaN: true }), (ratio, more) => {
      const expected = expectedNeeded(ratio) * (1 + more) + 1e-9;
      let signal = 1;
      while (gammaTails(signal, expected).lower > 0.025) ++signal;
      expect(gammaTails(signal, ratio * expected).lower).toBeGreaterThanOrEqual(0.8);
    }));
  });
  it('what makes no sense is refused', () => {
    expect(() => expectedNeeded(1)).toThrow('ratio must be above 1: 1');
    expect(() => detectableRatio(-1)).toThrow('expected must be at least 0: -1');
  });
});

describe('the time until so many events are expected', () => {
  // 1 % revised at once, 5 % after 100 days, 10 % after 200; followed for 300
  const km = kaplanMeier(eventTable(cellsOf({ exit: [0, 100, 200, 300], event: [1, 1, 1, 0], count: [1, 4, 5, 90] })));
  const stop = stopOf(km, { largestStep: 0, minAtRisk: 0 });
  it.each([
    { events: 0.5, time: 50 }, // one a day: 50 days of one per cent
    { events: 1, time: 100 },
    { events: 6, time: 200 },
    { events: 8, time: 220 },
    { events: 16, time: 300 },
  ])('$events events: $time days', ({ events: target, time }) => {
    const found = timeToExpectedEvents(km, stop, 1, target), twice = timeToExpectedEvents(km, stop, 2, 2 * target);
    expect(found).toMatchObject({ status: 'ok' });
    if (found.status === 'ok') expect(found.time).toBeCloseTo(time, 9);
    expect(twice).toEqual(found);
  });
  it('not within what is known of the comparator', () => {
    expect(timeToExpectedEvents(km, stop, 1, 16.1)).toEqual({ status: 'notEstimable', reason: 'not within the follow-up known of the comparator (300)' });
    expect(timeToExpectedEvents(km, stop, 0, 1)).toEqual({ status: 'notEstimable', reason: 'no procedures are done' });
    const none = kaplanMeier(eventTable(cellsOf({ exit: [50], event: [0] })));
    expect(timeToExpectedEvents(none, stopOf(none, { largestStep: 0.02, minAtRisk: 0 }), 1, 1)).toMatchObject({ status: 'notEstimable' });
  });
});
