import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toldSteps } from '@/lib/disclosure/toldSteps';

describe('running counts that may be told', () => {
  it.each([
    { story: 'each rises by enough', running: [0, 6, 12, 20], total: 20, told: [0, 1, 2, 3] },
    { story: 'a step of three is joined with its neighbour', running: [0, 6, 9, 20], total: 20, told: [0, 2, 3] },
    { story: 'two after the last one told would follow from the total', running: [0, 6, 12, 18], total: 20, told: [0, 1, 2] },
    { story: 'where little happened in all, none', running: [0, 1, 2, 3], total: 3, told: [] },
    { story: 'none at all happened', running: [0, 0, 0], total: 0, told: [0, 1, 2] },
  ])('$story', ({ running, total, told }) => { expect(toldSteps([running], [total], 5)).toEqual(told); });

  it('of two kinds of event, where both rise by nothing or by enough', () => {
    expect(toldSteps([[0, 6, 12], [0, 3, 8]], [12, 8], 5)).toEqual([0, 2]);
  });

  it('never differ by a small count, nor from the start or the total', () => {
    fc.assert(fc.property(fc.array(fc.integer({ min: 0, max: 7 }), { maxLength: 30 }), fc.integer({ min: 1, max: 12 }), (steps, k) => {
      let at = 0;
      const running = steps.map((step) => (at += step)), told = toldSteps([running], [at], k).map((i) => running[i]!);
      [0, ...told, at].slice(1).forEach((count, i) => {
        const rise = count - [0, ...told, at][i]!;
        if (told.length > 0) expect(rise === 0 || rise >= k, JSON.stringify({ running, told, k })).toBe(true);
      });
    }));
  });
});
