import { describe, expect, it } from 'vitest';
import { percentTable } from '@/lib/reports/comparisonTables';
import { monthEnds } from '@/lib/reports/timeAxis';
import { at, estimate, pegsAndKeels } from './pegsAndKeels';

// A surgeon asks about the first year only; the usual times to read go on to ten.

const late = { status: 'notEstimable', reason: 'beyond the one year that is looked at' } as const;
const read = [at(1, 'all_poly_pegged', 56, estimate(0.7, 0.6, 1)), { ...at(2, 'all_poly_pegged', 56, estimate(0, 0, 0)), atRisk: 0, estimate: late }];
const times = (part: object) => percentTable(pegsAndKeels({ atTimes: read, question: { ...pegsAndKeels().question, ...part } })).rows.map(({ cells }) => [cells[0]!.text, cells[2]!.text]);

describe('the times that tables show', () => {
  it('end at the horizon: nobody is said to be at risk of a time that is not looked at', () => {
    expect(times({ horizonYears: 1, atYears: [1, 2] })).toEqual([['1 year', '500']]);
  });

  it('stay, with the reason, where all of them lie past the horizon', () => {
    expect(times({ horizonYears: 1, atYears: [2] })).toEqual([['2 years', '0']]);
  });

  it.each([[1, 365], [2, 731], [5, 1826], [9, 3287], [10, 3653]])('curves can be read at the end of %i years, day %i', (years, day) => {
    expect(monthEnds(day).at(-1)).toBe(day);
    expect(monthEnds(day)).toHaveLength(12 * years + 1);
  });
});
