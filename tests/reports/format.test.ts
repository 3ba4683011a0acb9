import { describe, expect, it } from 'vitest';
import { formatExpected, formatList, formatP, formatPercent, formatPEquation, formatRatio, formatSpan } from '@/lib/reports/format';

describe('rounding for display', () => {
  it.each([[0, '0.0'], [0.04, '<0.1'], [0.05, '0.1'], [5.25, '5.3'], [99.96, '>99.9'], [100, '100.0'], [0.1 * 3 * 1000 / 3, '100.0'], [NaN, '–']])('percent %d is %s: what is above 0 is never shown as 0, and what is below 100 never as 100', (value, shown) => {
    expect(formatPercent(value)).toBe(shown);
  });
  it.each([[0.004, '<0.01'], [1.625, '1.63'], [12, '12.00'], [Infinity, '–']])('ratio %d is %s', (value, shown) => {
    expect(formatRatio(value)).toBe(shown);
  });
  it.each([[0, '<0.001'], [4e-9, '<0.001'], [0.0123, '0.012'], [0.0499, '0.050'], [0.53, '0.53'], [0.997, '>0.99']])('p of %d is %s, never 0 and never 1', (p, shown) => {
    expect(formatP(p)).toBe(shown);
  });
  it.each([[0, '0.0'], [0.01, '<0.1'], [0.25, '0.3'], [1234.5, '1,234.5']])('%d revisions expected are %s', (value, shown) => {
    expect(formatExpected(value)).toBe(shown);
  });
  it('says a p-value as an equation', () => {
    expect([formatPEquation(1e-9), formatPEquation(0.032)]).toEqual(['p < 0.001', 'p = 0.032']);
  });
  it.each([[0.25, '3 months'], [1 / 12, '1 month'], [0.5, '6 months'], [1, '1 year'], [1.5, '18 months'], [2.5, '2.5 years'], [10, '10 years']])('%d years is %s', (years, shown) => {
    expect(formatSpan(years)).toBe(shown);
  });
  it('lists as one speaks', () => {
    expect([formatList([]), formatList(['a']), formatList(['a', 'b']), formatList(['a', 'b', 'c'], 'or')]).toEqual(['', 'a', 'a and b', 'a, b or c']);
  });
});
