import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bandPath, linePath } from '@/app/blocks/plane/paths';

const place = fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: 0, max: 300 }));

/** The corners that a path of M, L, H, V and Z goes through. */
function corners(path: string): readonly (readonly [number, number])[] {
  let x = 0, y = 0;
  return [...path.matchAll(/([MLHV])([^MLHVZ]+)/g)].map(([, command, text = '']) => {
    const numbers = text.split(',').map(Number);
    if (command === 'H') x = numbers[0]!;
    else if (command === 'V') y = numbers[0]!;
    else [x, y] = numbers as [number, number];
    return [x, y] as const;
  });
}

describe('the path of a line', () => {
  it('goes straight from place to place', () => {
    expect(linePath([[0, 10], [5, 8.00049], [7, 3]], false)).toBe('M0,10L5,8L7,3');
  });
  it('in steps holds each value until the next', () => {
    expect(linePath([[0, 10], [5, 8], [7, 3]], true)).toBe('M0,10H5V8H7V3');
  });
  it('is interrupted where nothing is', () => {
    expect(linePath([null, [0, 10], null, [5, 8], [7, 3], null], false)).toBe('M0,10M5,8L7,3');
    expect(linePath([], true)).toBe('');
  });
  it('in steps passes every place, and moves along one axis at a time', () => {
    fc.assert(fc.property(fc.array(place, { minLength: 1, maxLength: 30 }), (places) => {
      const passed = corners(linePath(places, true));
      for (const one of places) expect(passed).toContainEqual(one);
      passed.slice(1).forEach(([x, y], i) => { expect(x === passed[i]![0] || y === passed[i]![1]).toBe(true); });
    }));
  });
});

describe('the path of a band', () => {
  it('goes along the upper limit and back along the lower one', () => {
    expect(bandPath([[0, 10, 9], [5, 8, 6], [7, 3, 1]], false)).toBe('M0,9L5,6L7,1L7,3L5,8L0,10Z');
    expect(bandPath([[0, 10, 9], [5, 8, 6], null, [7, 3, 1]], true)).toBe('M0,9H5V6V8V10H0ZM7,1V3Z');
  });
  it('in steps is bounded by the lines of its two limits', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 0, max: 100 }), fc.integer({ min: 0, max: 100 })), { minLength: 2, maxLength: 20 }), (steps) => {
      let x = 0;
      const places = steps.map(([wait, low, high]) => [x += wait, low, high] as const), band = corners(bandPath(places, true));
      const upper = corners(linePath(places.map(([at, , high]) => [at, high]), true)), lower = corners(linePath(places.map(([at, low]) => [at, low]), true));
      expect(band.slice(0, upper.length)).toEqual(upper);
      expect([...band.slice(upper.length)].reverse()).toEqual(lower);
    }));
  });
});
