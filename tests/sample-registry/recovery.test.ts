import { describe, expect, it } from 'vitest';
import { cox } from '@/lib/stats/cox/cox';
import { followed, generated, type Followed } from './generated';

// What was planted must be found again by an analysis that adjusts for what the scenario confounds. Limits are at 99 %, model-based.
const z = 2.576;

const registry = generated(40_000);
const { truth } = registry;
const outlying = new Set<unknown>([
  ...truth.planted.components.map((c) => c.model), ...truth.planted.hospitals.map((h) => h.hospital), truth.planted.surgeon.surgeon,
]);
const all = followed(registry).filter((f) => f.procedure['joint'] === 'shoulder');
const isOutlying = (f: Followed) => [...f.models, f.procedure['hospital_id'], f.procedure['surgeon_id']].some((v) => outlying.has(v));
const ordinary = all.filter((f) => !isOutlying(f));

const constructOf = (f: Followed): string => [f.procedure['class'], f.glenoid, f.stem].join(' ');

interface Window { readonly from?: number; readonly to?: number; readonly stratumOf?: (f: Followed) => string }
interface Term { readonly name: string; readonly value: (f: Followed) => number }
const adjustment: readonly Term[] = [
  { name: 'age', value: (f) => ((f.procedure['age_years'] as number) - 70) / 10 },
  { name: 'male', value: (f) => Number(f.procedure['sex'] === 'male') },
  ...Object.keys(truth.covariateLogHazardRatios.indication).filter((i) => i !== 'osteoarthritis' && i !== 'dysplasia')
    .map((i) => ({ name: i, value: (f: Followed) => Number(f.procedure['indication'] === i) })),
];

/** Log hazard ratios with limits, over the days from `from` to `to`; classes and designs have baselines of their own where asked. */
function fit(group: readonly Followed[], terms: readonly Term[], { from = -1, to = Infinity, stratumOf = () => '' }: Window = {}) {
  const inside = group.filter((f) => Math.max(f.entry, from) < Math.min(f.exit, to));
  const strata = [...new Set(inside.map(stratumOf))];
  const values = new Float64Array(inside.length * terms.length);
  inside.forEach((f, i) => { terms.forEach((term, t) => { values[i * terms.length + t] = term.value(f); }); });
  const result = cox({
    entry: Float64Array.from(inside, (f) => Math.max(f.entry, from)),
    exit: Float64Array.from(inside, (f) => Math.min(f.exit, to)),
    event: Uint8Array.from(inside, (f) => Number(f.revised && f.exit <= to)),
    count: new Float64Array(inside.length).fill(1),
    stratum: Int32Array.from(inside, (f) => strata.indexOf(stratumOf(f))),
  }, { names: terms.map((t) => t.name), values, pattern: Int32Array.from(inside, (_, i) => i) });
  if (result.status !== 'ok') throw new Error(result.reason);
  return (name: string) => {
    const j = terms.findIndex((t) => t.name === name);
    const se = Math.sqrt(result.covariance[j * terms.length + j]!);
    return { lower: result.coefficient[j]! - z * se, upper: result.coefficient[j]! + z * se };
  };
}

const contains = ({ lower, upper }: { lower: number; upper: number }, planted: number) => {
  expect(lower).toBeLessThan(planted);
  expect(upper).toBeGreaterThan(planted);
};

describe('a Cox regression finds what was planted', () => {
  it('age, sex and indication, with a baseline for every class and design', () => {
    const estimate = fit(ordinary, adjustment, { stratumOf: constructOf });
    const { agePerTenYears, male, indication } = truth.covariateLogHazardRatios;
    contains(estimate('age'), agePerTenYears);
    contains(estimate('male'), male);
    for (const code of adjustment.slice(2).map((t) => t.name)) contains(estimate(code), indication[code]!);
  });

  const glenoid = truth.designs.find((d) => d.role === 'glenoid')!;
  const anatomic = ordinary.filter((f) => f.procedure['class'] === 'anatomic_total');
  const designs = Object.keys(glenoid.allRevisions);
  it.each([
    { from: 731, to: 1826 },
    { from: 1826, to: 2557 },
    { from: 2557, to: 3653 },
  ])('the designs of glenoid components from day $from to day $to', ({ from, to }) => {
    const period = truth.periodStartDays.indexOf(from);
    const estimate = fit(anatomic, [...designs.map((d) => ({ name: d, value: (f: Followed) => Number(f.glenoid === d) })), ...adjustment.slice(0, 2)],
      { from: from - 0.5, to: to - 0.5 });
    for (const design of designs) contains(estimate(design), glenoid.allRevisions[design as keyof typeof glenoid.allRevisions]![period]!);
  });

  it('that metal-backed components are late to fail: no one ratio holds', () => {
    const terms = [{ name: 'metal_backed', value: (f: Followed) => Number(f.glenoid === 'metal_backed') }, ...adjustment.slice(0, 2)];
    const early = fit(anatomic, terms, { to: 182.5 })('metal_backed');
    const late = fit(anatomic, terms, { from: 730.5 })('metal_backed');
    expect(late.lower).toBeGreaterThan(early.upper);
  });

  it('the planted models, hospitals and surgeon, each against the rest', () => {
    const planted = [
      ...truth.planted.components.map((c) => ({ name: c.model, ratio: c.hazardRatio })),
      ...truth.planted.hospitals.map((h) => ({ name: h.hospital, ratio: h.hazardRatio })),
      { name: truth.planted.surgeon.surgeon, ratio: truth.planted.surgeon.hazardRatio },
    ];
    const has = (f: Followed, name: string) => f.models.includes(name) || f.procedure['hospital_id'] === name || f.procedure['surgeon_id'] === name;
    const estimate = fit(all, [...planted.map(({ name }) => ({ name, value: (f: Followed) => Number(has(f, name)) })), ...adjustment],
      { stratumOf: constructOf });
    for (const { name, ratio } of planted) {
      contains(estimate(name), Math.log(ratio));
      expect(estimate(name).lower, name).toBeGreaterThan(0);
    }
  });
});
