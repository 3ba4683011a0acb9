import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { cholesky, solve } from '@/lib/stats/cholesky';
import { cox } from '@/lib/stats/cox/cox';
import { coxModel } from '@/lib/stats/cox/coxModel';
import { coxState, hazardShares, information, score, type CoxState } from '@/lib/stats/cox/partialLikelihood';
import { stepByPattern } from '@/lib/stats/cox/stepByPattern';
import { cellsFrom, designFrom, patients } from './designs';

const at = (state: CoxState): Float64Array | null =>
  stepByPattern(state, hazardShares(state), score(state), information(state), (matrix) => cholesky(matrix, state.beta.length, () => 0), state.beta.length);

describe('a step from sums over patterns', () => {
  // With one risk set and Breslow's rule the hazards are revisions by procedures at risk, so that their ratio is that of two rates.
  it('leads to the maximum at once where all were revised on one day', () => {
    const cells = { exit: Float64Array.of(5, 5, 9, 9), event: Uint8Array.of(1, 1, 0, 0), count: Float64Array.of(30, 10, 70, 190) };
    const model = coxModel(cells, { names: ['x'], values: Float64Array.of(0, 1), pattern: Int32Array.of(0, 1, 0, 1) }, 'breslow');
    expect(at(coxState(model, new Float64Array(1)))![0]).toBeCloseTo(Math.log((10 / 200) / (30 / 100)), 12);
  });

  it('is none where a group without a revision has no estimate', () => {
    const cells = { exit: Float64Array.of(5, 9, 9), event: Uint8Array.of(1, 0, 0), count: Float64Array.of(30, 70, 190) };
    const model = coxModel(cells, { names: ['x'], values: Float64Array.of(0, 1), pattern: Int32Array.of(0, 0, 1) }, 'breslow');
    expect(at(coxState(model, new Float64Array(1)))).toBeNull();
  });

  it('is Newton’s near the maximum', () => {
    fc.assert(fc.property(patients(), fc.array(fc.double({ min: -1e-4, max: 1e-4, noNaN: true }), { minLength: 2, maxLength: 2 }), (list, apart) => {
      const fit = cox(cellsFrom(list), designFrom(list));
      if (fit.status !== 'ok' || fit.notEstimable.some((reason) => reason !== null)) return;
      const state = coxState(fit.state.model, fit.state.beta.map((b, j) => b + apart[j]!)), step = at(state);
      const newton = solve(cholesky(information(state), 2, () => 0), score(state));
      if (step !== null) for (let j = 0; j < 2; ++j) expect(Math.abs(step[j]! - newton[j]!)).toBeLessThan(1e-3 * Math.max(...newton.map(Math.abs)));
    }));
  });
});
