import { describe, expect, it } from 'vitest';
import { designEffect } from '@/lib/stats/proportions/designEffect';

const times = (n: number, of: { count: number; total: number }) => Array.from({ length: n }, () => of);

describe('patients with both shoulders', () => {
  it('who are always alike count half', () => {
    expect(designEffect(40, 200, [...times(20, { count: 2, total: 2 }), ...times(80, { count: 0, total: 2 })])).toBeCloseTo(2, 12);
  });
  it('who are never alike do not make limits narrower', () => {
    expect(designEffect(100, 200, times(100, { count: 1, total: 2 }))).toBe(1);
  });
  it('matter by their share', () => {
    // by hand: p = 1/5; 100 of 120 shoulders alone, 20 with the sign; ten pairs, alike
    const p = 24 / 120, squares = 20 * (1 - p) ** 2 + 80 * p * p + 2 * (2 - 2 * p) ** 2 + 8 * (2 * p) ** 2;
    expect(designEffect(24, 120, [...times(2, { count: 2, total: 2 }), ...times(8, { count: 0, total: 2 })])).toBeCloseTo(squares / (120 * p * (1 - p)), 12);
  });
  it('change nothing where all or none have the sign, or nobody has two', () => {
    expect([designEffect(0, 50, times(5, { count: 0, total: 2 })), designEffect(50, 50, times(5, { count: 2, total: 2 })), designEffect(10, 50, [])]).toEqual([1, 1, 1]);
  });
});
