import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { baselineHazard } from '@/lib/stats/cox/baselineHazard';
import { cox, type CoxFit } from '@/lib/stats/cox/cox';
import { coxModel, type Ties } from '@/lib/stats/cox/coxModel';
import { hazardRatios } from '@/lib/stats/cox/hazardRatios';
import { coxState, information, score } from '@/lib/stats/cox/partialLikelihood';
import { martingaleResiduals, scoreResiduals } from '@/lib/stats/cox/residuals';
import { schoenfeldResiduals } from '@/lib/stats/cox/schoenfeld';
import { cellsFrom, designFrom, estimated, oneColumn, oneEach, patients, type Patient } from './designs';
import { arms, dataSet1, dataSet2, maintained, mercaptopurine, notMaintained, placebo } from './printed';
import { cellsOf, type Rows } from './rows';

const fit = (rows: Rows & { x: readonly number[] }, ties: Ties): CoxFit => estimated(cox(cellsOf(rows), oneColumn(rows.x), { ties }));
const atBeta = (rows: Rows & { x: readonly number[] }, ties: Ties, beta: number) => coxState(coxModel(cellsOf(rows), oneColumn(rows.x), ties), Float64Array.of(beta));
const closeTo = (values: readonly number[], digits = 12): number[] => values.map((v) => expect.closeTo(v, digits) as number);

// Therneau & Grambsch 2000, Modeling Survival Data, appendix E, and the validation vignette of the R package survival.
describe('data set 1: a tie of two, an event with a censoring, each alone', () => {
  it('Breslow: β = ln((3 + √33)/2) = 1.475285', () => {
    expect(fit(dataSet1, 'breslow').coefficient[0]).toBeCloseTo(Math.log((3 + Math.sqrt(33)) / 2), 13);
  });

  it('Efron at 0: log likelihood −4.276666, score 52/48, information 83/144', () => {
    const state = atBeta(dataSet1, 'efron', 0);
    expect(state.logLikelihood).toBeCloseTo(-4.276666, 6);
    // by hand: 6 at risk; then 4, of whom 2 tie: denominators 4 and 3; then one alone
    expect(state.logLikelihood).toBeCloseTo(-Math.log(6) - Math.log(4) - Math.log(3), 13);
    expect(score(state)[0]).toBeCloseTo(52 / 48, 13);
    expect(information(state)[0]).toBeCloseTo(83 / 144, 13);
  });

  it('Efron at the maximum: β = 1.676857, log likelihood −3.358979, information .612632', () => {
    const { coefficient, logLikelihood, covariance } = fit(dataSet1, 'efron');
    expect(coefficient[0]).toBeCloseTo(1.676857, 6);
    expect(score(atBeta(dataSet1, 'efron', coefficient[0]!))[0]).toBeCloseTo(0, 13);
    expect(logLikelihood.fitted).toBeCloseTo(-3.358979, 5);
    expect(1 / covariance[0]!).toBeCloseTo(0.612632, 6);
  });

  it('Efron residuals at 0: martingale and score residuals are fractions', () => {
    const state = atBeta(dataSet1, 'efron', 0);
    expect(Array.from(martingaleResiduals(state))).toEqual(closeTo([5 / 6, -1 / 6, 5 / 12, 5 / 12, -3 / 4, -3 / 4]));
    expect(Array.from(scoreResiduals(state))).toEqual(closeTo([60, -12, 55, -5, 29, 29].map((v) => v / 144)));
  });

  it('Breslow at 0: hazard increments 1/6, 2/4 and 1', () => {
    const state = atBeta(dataSet1, 'breslow', 0);
    expect(Array.from(martingaleResiduals(state))).toEqual(closeTo([1 - 1 / 6, -1 / 6, 1 - 2 / 3, 1 - 2 / 3, -2 / 3, 1 - 5 / 3]));
    expect(state.logLikelihood).toBeCloseTo(-Math.log(6) - 2 * Math.log(4), 13);
  });

  // β̂ of Efron; Schoenfeld residuals recomputed from the data in print.
  it('Schoenfeld residuals .157512, .421244, −.578756, 0', () => {
    const { residual, cell } = schoenfeldResiduals(fit(dataSet1, 'efron'));
    expect(Array.from(cell)).toEqual([0, 2, 3, 5]);
    expect(Array.from(residual)).toEqual(closeTo([0.157512, 0.421244, -0.578756, 0], 6));
  });
});

describe('data set 2: (start, stop], ties of three', () => {
  it('Breslow: β = −.084526; at 0 score −2/15, information 2821/1800', () => {
    expect(fit(dataSet2, 'breslow').coefficient[0]).toBeCloseTo(-0.084526, 6);
    const state = atBeta(dataSet2, 'breslow', 0);
    expect(score(state)[0]).toBeCloseTo(-2 / 15, 13);
    expect(information(state)[0]).toBeCloseTo(2821 / 1800, 12);
  });
});

describe('regression on data in print', () => {
  // Coefficients as texts print them for these data (from memory, recomputed): Freireich et al. 1963; Miller 1981.
  it.each([
    ['6-MP, Breslow', arms(mercaptopurine, placebo), 'breslow', 1.5092, 0.4096],
    ['6-MP, Efron', arms(mercaptopurine, placebo), 'efron', 1.5721, 0.4124],
    ['AML, Efron', arms(maintained, notMaintained), 'efron', 0.9155, 0.5119],
  ] as const)('%s', (_, rows, ties, coefficient, standardError) => {
    const [ratio] = hazardRatios(fit({ ...rows, x: Array.from(rows.group) }, ties));
    const { coefficient: b, standardError: se } = estimated(ratio!);
    expect(b).toBeCloseTo(coefficient, 4);
    expect(se).toBeCloseTo(standardError, 4);
  });
});

/** The log likelihood from its definition (Efron 1977, J Am Stat Assoc 72:557), one procedure at a time. */
function slowly(list: readonly Patient[], beta: readonly number[], ties: Ties): number {
  const eta = (p: Patient) => p.x.reduce((sum, v, j) => sum + v * beta[j]!, 0), hazards = (of: readonly Patient[]) => of.reduce((sum, p) => sum + Math.exp(eta(p)), 0);
  let result = 0;
  for (const s of new Set(list.map((p) => p.stratum))) {
    const stratum = list.filter((p) => p.stratum === s);
    for (const t of new Set(stratum.filter((p) => p.event === 1).map((p) => p.exit))) {
      const tied = stratum.filter((p) => p.exit === t && p.event === 1), atRisk = stratum.filter((p) => p.entry < t && p.exit >= t);
      tied.forEach((p, l) => { result += eta(p) - Math.log(hazards(atRisk) - (ties === 'efron' ? (l / tied.length) * hazards(tied) : 0)); });
    }
  }
  return result;
}
const eitherTies = fc.constantFrom<Ties>('efron', 'breslow');
const smallBeta = fc.tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.double({ min: -0.05, max: 0.05, noNaN: true }));

describe('the partial likelihood, laws', () => {
  const stateOf = (list: readonly Patient[], ties: Ties, beta: readonly number[]) => {
    const model = coxModel(cellsFrom(list), designFrom(list), ties);
    return coxState(model, Float64Array.from(beta, (b, j) => b * model.scale[j]!));
  };

  it('counted cells give what their procedures give one by one, by the definition', () => {
    fc.assert(fc.property(patients({ minLength: 2 }), eitherTies, smallBeta, (list, ties, beta) => {
      expect(stateOf(list, ties, beta).logLikelihood).toBeCloseTo(slowly(oneEach(list), beta, ties), 8);
    }));
  });

  it('score and information are its first and second differences', () => {
    fc.assert(fc.property(patients(), eitherTies, smallBeta, fc.integer({ min: 0, max: 1 }), (list, ties, beta, j) => {
      const model = coxModel(cellsFrom(list), designFrom(list), ties), h = 1e-5;
      const at = (shift: number) => coxState(model, Float64Array.from(beta, (b, k) => b * model.scale[k]! + (k === j ? shift : 0)));
      const size = 1 + model.sets.events.reduce((sum, d) => sum + d, 0);
      expect(Math.abs((at(h).logLikelihood - at(-h).logLikelihood) / (2 * h) - score(at(0))[j]!)).toBeLessThan(1e-7 * size);
      for (const k of [0, 1]) {
        expect(Math.abs((score(at(-h))[k]! - score(at(h))[k]!) / (2 * h) - information(at(0))[k * 2 + j]!)).toBeLessThan(1e-7 * size);
      }
    }));
  });

  it('score residuals sum to the score, martingale residuals to 0', () => {
    fc.assert(fc.property(patients(), eitherTies, smallBeta, (list, ties, beta) => {
      const state = stateOf(list, ties, beta), residuals = scoreResiduals(state), { count } = state.model.cells;
      score(state).forEach((u, j) => { expect(count.reduce((sum, n, i) => sum + n * residuals[i * 2 + j]!, 0)).toBeCloseTo(u, 8); });
      expect(martingaleResiduals(state).reduce((sum, m, i) => sum + m * count[i]!, 0)).toBeCloseTo(0, 9);
    }));
  });
});

/** Two fits have the same status, estimates and reasons. */
function expectSame(a: ReturnType<typeof cox>, b: ReturnType<typeof cox>): void {
  expect(b.status).toBe(a.status);
  if (a.status !== 'ok' || b.status !== 'ok') return;
  expect(b.notEstimable.map((m) => m?.cause)).toEqual(a.notEstimable.map((m) => m?.cause));
  for (const [values, others] of [[a.coefficient, b.coefficient], [a.covariance, b.covariance]] as const) {
    values.forEach((v, k) => {
      if (Number.isNaN(v)) expect(others[k]).toBeNaN();
      else expect(Math.abs(others[k]! - v)).toBeLessThan(1e-6 * (1 + Math.abs(v)));
    });
  }
  expect(b.logLikelihood.fitted).toBeCloseTo(a.logLikelihood.fitted, 7);
}

describe('regression, laws', () => {
  const fitOf = (list: readonly Patient[], ties: Ties = 'efron') => cox(cellsFrom(list), designFrom(list), { ties });

  it('rows in any order, and one cell for several procedures, are the same data', () => {
    fc.assert(fc.property(patients(), eitherTies, (list, ties) => {
      expectSame(fitOf(list, ties), fitOf([...list].reverse(), ties));
      expectSame(fitOf(list, ties), fitOf(oneEach(list), ties));
    }));
  });

  it('follow-up cut in two with a late entry is the same follow-up', () => {
    fc.assert(fc.property(patients(), eitherTies, fc.integer({ min: 1, max: 11 }), (list, ties, cut) => {
      const halves = list.flatMap((p) => (p.entry < cut && p.exit > cut ? [{ ...p, exit: cut, event: 0 }, { ...p, entry: cut }] : [p]));
      const whole = fitOf(list, ties), split = fitOf(halves, ties);
      expect(split.status).toBe(whole.status);
      if (whole.status === 'ok' && split.status === 'ok') expectSame(whole, { ...split, procedures: whole.procedures });
    }));
  });

  it('only the order of times matters', () => {
    fc.assert(fc.property(patients(), (list) => {
      expectSame(fitOf(list), fitOf(list.map((p) => ({ ...p, exit: p.exit ** 2, entry: p.entry < 0 ? p.entry : p.entry ** 2 }))));
    }));
  });

  it('age in days, and from another year, changes the unit of its coefficient and nothing else', () => {
    fc.assert(fc.property(patients(), (list) => {
      const years = fitOf(list), days = fitOf(list.map((p) => ({ ...p, x: [p.x[0]!, 365.25 * p.x[1]! - 1e5] })));
      expect(days.status).toBe(years.status);
      if (years.status !== 'ok' || days.status !== 'ok' || years.notEstimable[1]) return;
      expect(days.coefficient[1]! * 365.25).toBeCloseTo(years.coefficient[1]!, 8);
      expect(days.logLikelihood.fitted).toBeCloseTo(years.logLikelihood.fitted, 8);
    }));
  });

  it('ten copies of everyone, Breslow: the same coefficients, a tenth of the variance', () => {
    fc.assert(fc.property(patients(), (list) => {
      const once = fitOf(list, 'breslow'), tenfold = fitOf(list.map((p) => ({ ...p, count: 10 * p.count })), 'breslow');
      expect(tenfold.status).toBe(once.status);
      if (once.status !== 'ok' || tenfold.status !== 'ok') return;
      once.coefficient.forEach((b, j) => {
        if (Number.isNaN(b)) return;
        expect(tenfold.coefficient[j]).toBeCloseTo(b, 6);
        expect((10 * tenfold.covariance[j * 3]!) / once.covariance[j * 3]!).toBeCloseTo(1, 6);
      });
    }));
  });

  it('the log likelihood is highest at the estimate, and the limits hold it', () => {
    fc.assert(fc.property(patients(), eitherTies, smallBeta, (list, ties, shift) => {
      const result = fitOf(list, ties);
      if (result.status !== 'ok' || result.notEstimable.some((m) => m !== null)) return;
      const model = result.state.model, moved = coxState(model, result.state.beta.map((b, j) => b + shift[j]!));
      expect(moved.logLikelihood).toBeLessThanOrEqual(result.logLikelihood.fitted + 1e-9);
      const narrow = hazardRatios(result), wide = hazardRatios(result, { confidence: 0.99 });
      narrow.forEach((ratio, j) => {
        const { ratio: hr, lower, upper, z, p } = estimated(ratio), wider = estimated(wide[j]!);
        expect(wider.lower < lower && lower < hr && hr < upper && upper < wider.upper).toBe(true);
        expect(p < 0.05).toBe(Math.abs(z) > 1.959963984540054);
      });
    }));
  });

  it('without covariates the baseline is the Nelson–Aalen estimate of each stratum', () => {
    fc.assert(fc.property(patients({ largestCount: 1 }), (list) => {
      const result = cox(cellsFrom(list), { names: [], values: new Float64Array(0), pattern: new Int32Array(list.length) }, { ties: 'breslow' });
      if (result.status !== 'ok') { expect(list.some((p) => p.event === 1)).toBe(false); return; }
      const { time, stratum, cumulativeHazard } = baselineHazard(result);
      time.forEach((t, k) => {
        const members = list.filter((p) => p.stratum === stratum[k]);
        const times = [...new Set(members.filter((p) => p.event === 1 && p.exit <= t).map((p) => p.exit))];
        const hazard = times.map((u) => members.filter((p) => p.exit === u && p.event === 1).length / members.filter((p) => p.entry < u && p.exit >= u).length);
        expect(cumulativeHazard[k]).toBeCloseTo(hazard.reduce((sum, h) => sum + h, 0), 10);
      });
    }));
  });
});
