import { describe, expect, it } from 'vitest';
import { progressDetail } from '@/lib/reports/progressWords';

describe('how far a load has come', () => {
  it.each([
    [{}, ''],
    [{ rows: { done: 1_250_000, of: 5_000_000 } }, '1,250,000 of 5,000,000 rows'],
    [{ rows: { done: 1200 } }, '1,200 rows'],
    [{ secondsLeft: 3 }, 'a few seconds left'],
    [{ secondsLeft: 42 }, 'about 40 seconds left'],
    [{ secondsLeft: 95 }, 'about 2 minutes left'],
    [{ rows: { done: 0, of: 10 }, secondsLeft: 600 }, '0 of 10 rows, about 10 minutes left'],
  ])('%j: %s', (progress, said) => {
    expect(progressDetail(progress)).toBe(said);
  });
});
