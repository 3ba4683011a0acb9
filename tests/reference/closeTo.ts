import { expect } from 'vitest';

type Values = ArrayLike<number | null> | number;

/** Element by element, to the given relative error of the larger, or of the largest element where one is nearly 0; null stands for NaN. */
export function expectClose(actual: Values, recorded: Values, relative = 1e-8): void {
  const a = numbers(actual), b = numbers(recorded);
  expect(a.length, 'number of values').toBe(b.length);
  const floor = 1e-12 * b.reduce((most, v) => (Number.isFinite(v) ? Math.max(most, Math.abs(v)) : most), 0);
  a.forEach((v, k) => {
    const w = b[k]!;
    if (Number.isNaN(w) || Math.abs(w) === Infinity) expect(v, `value ${k}`).toBe(w);
    else expect(Math.abs(v - w), `value ${k}: ${v}, recorded ${w}`).toBeLessThanOrEqual(Math.max(floor, relative * Math.abs(w)));
  });
}

const numbers = (values: Values): number[] => Array.from(typeof values === 'number' ? [values] : values, (v) => v ?? NaN);
