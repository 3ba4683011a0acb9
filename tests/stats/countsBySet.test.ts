import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { coxModel } from '@/lib/stats/cox/coxModel';
import type { CountsBySet } from '@/lib/stats/cox/countsBySet';
import { membersByPattern, runningAtRisk } from '@/lib/stats/cox/membersByPattern';
import { rowsAtRisk } from '@/lib/stats/cox/rowsAtRisk';

const row = fc.record({
  entry: fc.integer({ min: -1, max: 12 }), wait: fc.integer({ min: 1, max: 20 }), event: fc.integer({ min: 0, max: 1 }),
  count: fc.integer({ min: 1, max: 4 }), pattern: fc.integer({ min: 0, max: 3 }), stratum: fc.integer({ min: 0, max: 1 }),
});
const patterns = 4, weight = Float64Array.of(0.3, 1, 2.5, 40);

describe('numbers by pattern and risk set', () => {
  it('sum to those of the members one by one, in rows and in single cells, with late entries and strata', () => {
    fc.assert(fc.property(fc.array(row, { minLength: 12, maxLength: 60 }), (rows) => {
      const cells = {
        exit: Float64Array.from(rows, (r) => Math.max(r.entry, 0) + r.wait), entry: Float64Array.from(rows, (r) => r.entry), event: Uint8Array.from(rows, (r) => r.event),
        count: Float64Array.from(rows, (r) => r.count), stratum: Int32Array.from(rows, (r) => r.stratum),
      };
      const design = { names: ['a', 'b'], values: Float64Array.from([0, 0, 1, 0, 0, 1.5, 1, -0.7]), pattern: Int32Array.from(rows, (r) => r.pattern) };
      const model = coxModel(cells, design, 'efron'), { sets, columns, x } = model, { withEvent, covariates } = membersByPattern(model), size = sets.time.length;
      const value = Float64Array.from({ length: size }, (_, k) => 1 + (k % 3) / 10);

      const holds = (counts: CountsBySet, counted: (i: number, k: number) => boolean) => {
        const overPatterns = counts.overPatterns(weight, covariates), overSets = counts.overSets(value);
        const wanted = new Float64Array((1 + columns) * size), wantedOverSets = new Float64Array(patterns);
        for (let i = 0; i < rows.length; ++i) {
          for (let k = 0; k < size; ++k) {
            if (!counted(i, k)) continue;
            const p = design.pattern[i]!, w = cells.count[i]! * weight[p]!;
            wanted[k]! += w;
            for (let j = 0; j < columns; ++j) wanted[(1 + j) * size + k]! += w * (x[p * columns + j]! - covariates.usual[j]!);
            wantedOverSets[p]! += cells.count[i]! * value[k]!;
          }
        }
        const close = (found: Float64Array, to: Float64Array) => { to.forEach((v, at) => { expect(Math.abs(found[at]! - v)).toBeLessThan(1e-11 * (1 + Math.abs(v))); }); };
        close(overPatterns, wanted);
        close(overSets, wantedOverSets);
      };
      const isMember = (i: number, k: number) => sets.first[i]! <= k && k <= sets.last[i]!;
      holds(withEvent, (i, k) => cells.event[i] === 1 && sets.last[i] === k);
      holds(runningAtRisk(model), isMember);
      const inRows = rowsAtRisk(model);
      if (inRows !== null) holds(inRows, isMember);
      expect(rowsAtRisk({ ...model, cells: { ...cells, count: cells.count.map((n) => n / 3) } }) === null || sets.entering.cells.length === 0).toBe(true);
    }));
  });
});
