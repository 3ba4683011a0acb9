import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { information, score } from '@/lib/stats/cox/partialLikelihood';
import { sumsAfter } from '@/lib/stats/cox/sumsAfter';

const row = fc.record({
  entry: fc.integer({ min: -1, max: 12 }), wait: fc.integer({ min: 1, max: 20 }), event: fc.integer({ min: 0, max: 1 }),
  count: fc.integer({ min: 1, max: 4 }), pattern: fc.integer({ min: 0, max: 3 }), stratum: fc.integer({ min: 0, max: 1 }),
});

describe('what the sets after each time contribute', () => {
  it.each(['efron', 'breslow'] as const)('is what weights of 1 after it and 0 up to it give, with late entries, ties and strata: %s', (ties) => {
    fc.assert(fc.property(fc.array(row, { minLength: 8, maxLength: 60 }), (rows) => {
      const cells = {
        exit: Float64Array.from(rows, (r) => Math.max(r.entry, 0) + r.wait), entry: Float64Array.from(rows, (r) => r.entry), event: Uint8Array.from(rows, (r) => r.event),
        count: Float64Array.from(rows, (r) => r.count), stratum: Int32Array.from(rows, (r) => r.stratum),
      };
      const design = { names: ['a', 'b'], values: Float64Array.from([0, 0, 1, 0, 0, 1.5, 1, -0.7]), pattern: Int32Array.from(rows, (r) => r.pattern) };
      const fit = cox(cells, design, { ties });
      if (fit.status !== 'ok') return; // too few events
      const { time, eventsUpTo, ...after } = sumsAfter(fit.state), { sets } = fit.state.model;
      expect([...time]).toEqual([...new Set(sets.time)].sort((a, b) => a - b));
      const close = (found: Float64Array, wanted: Float64Array) => { wanted.forEach((value, j) => { expect(Math.abs(found[j]! - value)).toBeLessThan(1e-9 * (1 + Math.abs(value))); }); };
      time.forEach((t, k) => {
        const weight = sets.time.map((u) => (u > t ? 1 : 0));
        close(after.score.subarray(2 * k, 2 * k + 2), score(fit.state, weight));
        close(after.information.subarray(4 * k, 4 * k + 4), information(fit.state, weight));
        expect(eventsUpTo[k]).toBe(sets.events.reduce((sum, d, s) => (sets.time[s]! <= t ? sum + d : sum), 0));
      });
    }));
  });
});
