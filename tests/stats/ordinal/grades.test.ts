import { describe, expect, it } from 'vitest';
import { probabilityHigher } from '@/lib/stats/ordinal/probabilityHigher';
import { weightedKappa } from '@/lib/stats/ordinal/weightedKappa';

describe('the chance that one of a group has the higher grade', () => {
  it('is one half in groups alike, and turns round with them', () => {
    const even = probabilityHigher([10, 5, 2], [20, 10, 4]), there = probabilityHigher([1, 5, 9], [8, 4, 3]), back = probabilityHigher([8, 4, 3], [1, 5, 9]);
    if (even.status !== 'ok' || there.status !== 'ok' || back.status !== 'ok') throw new Error('no estimate');
    expect(even.value).toBeCloseTo(0.5, 12);
    expect([there.value + back.value, there.lower + back.upper]).toEqual([expect.closeTo(1, 12), expect.closeTo(1, 12)]);
  });
  it.each([
    [[5, 0], [5, 0], 'everybody has the same grade'], [[0, 5], [5, 0], 'every grade of one group is above every grade of the other'], [[1, 0], [3, 3], 'fewer than two in a group'],
  ])('has none for %j and %j', (a, b, reason) => {
    expect(probabilityHigher(a, b)).toEqual({ status: 'notEstimable', reason });
  });
});

describe('weighted κ', () => {
  it('is 1 where the readers agree throughout and 0 where they read at random', () => {
    const same = weightedKappa([[10, 0, 0], [0, 5, 0], [0, 0, 5]]), random = weightedKappa([[16, 4], [64, 16]]);
    if (same.status !== 'ok' || random.status !== 'ok') throw new Error('no estimate');
    expect([same.value, same.standardError]).toEqual([1, expect.closeTo(0, 7)]);
    expect(random.value).toBeCloseTo(0, 12);
  });
  it('has no value where all is read alike and the same', () => {
    expect(weightedKappa([[12, 0], [0, 0]]).status).toBe('notEstimable');
    expect(weightedKappa([[0, 0], [0, 0]]).status).toBe('notEstimable');
  });
});
