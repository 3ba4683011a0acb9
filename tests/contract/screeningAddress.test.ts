import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as codes from '@/lib/contract/codes';
import { covariates } from '@/lib/contract/question';
import { fromScreeningAddress, toScreeningAddress } from '@/lib/contract/screeningAddress';
import { comparators, ScreeningQuestion } from '@/lib/contract/screeningQuestion';

const some = <T>(values: readonly T[]) => fc.uniqueArray(fc.constantFrom(...values), { maxLength: 3 });
const model = fc.string({ minLength: 1, maxLength: 12, unit: 'grapheme' });
const tenths = (min: number, max: number) => fc.integer({ min: min * 10, max: max * 10 }).map((n) => n / 10);

const question = fc.record({
  cohort: fc.record({ classes: some(['anatomic_total', 'reverse_total'] as const), minAge: fc.option(fc.integer({ min: 0, max: 60 }), { nil: null }) }),
  outcome: fc.record({ reasons: some(codes.codesOf(codes.reasonCodes)), ofRoleOnly: fc.boolean() }),
  roles: some(['glenoid', 'humeral_stem', 'humeral_head'] as const),
  comparator: fc.constantFrom(...comparators),
  exceptModels: fc.uniqueArray(model, { maxLength: 3 }),
  adjust: some(covariates),
  horizonYears: fc.integer({ min: 5, max: 30 }),
  cutYears: fc.constantFrom([], [1], [0.5, 3]),
  criteria: fc.record({
    minimumAtRisk: fc.integer({ min: 0, max: 500 }), atRiskYears: tenths(0, 5), minimumExpected: tenths(0, 20), minimumRatio: tenths(1, 5),
    confidence: fc.constantFrom(0.9, 0.95, 0.99), falseDiscoveryRate: fc.constantFrom(0.01, 0.05, 0.2), test: fc.constantFrom('conditional' as const, 'poisson' as const),
  }),
  earlier: fc.uniqueArray(fc.record({ model, look: fc.integer({ min: 1, max: 9 }) }), { maxLength: 3, selector: ({ model: m, look }) => `${look}:${m}` }),
}).chain((asked) => fc.integer({ min: 10, max: 20 }).map((look) => ({ ...asked, look })));
const chosen = fc.option(fc.record({ model, class: fc.constantFrom(null, 'hemi' as const) }), { nil: null });

describe('the address holds what is screened', () => {
  it('gives back every question and chosen model it was made from', () => {
    fc.assert(fc.property(question, chosen, (q, c) => {
      const asked = ScreeningQuestion.parse(q);
      expect(fromScreeningAddress(toScreeningAddress(asked, c))).toEqual({ status: 'ok', question: asked, chosen: c });
    }), { numRuns: 300 });
  });

  it('reads like the question', () => {
    const asked = ScreeningQuestion.parse({ exceptModels: ['G-10'], look: 3, earlier: [{ model: 'G-20', look: 2 }], criteria: { minimumRatio: 2 } });
    expect(toScreeningAddress(asked, { model: 'G-20', class: null })).toBe('against=design&without=G-10&ratio=2&look=3&earlier=2%3AG-20&model=G-20');
    expect(fromScreeningAddress('')).toEqual({ status: 'ok', question: ScreeningQuestion.parse({}), chosen: null });
  });

  it.each([
    ['a misspelt parameter', 'against=design&rolle=glenoid', /“rolle”/],
    ['a signal without a look', 'against=design&look=2&earlier=G-10', /“earlier” in the address is “G-10”: it has to be a look and a model/],
    ['a signal of this look', 'against=design&look=2&earlier=2:G-10', /“earlier”.*look before this one/],
    ['a signal twice', 'against=design&look=3&earlier=2:G-10&earlier=2:G-10', /“earlier”.*twice/],
    ['a component of another joint', 'against=design&joint=hip&role=glenoid', /“role”.*of the joint/],
    ['a time beyond the horizon', 'against=design&horizon=1&at-risk-years=2', /“at-risk-years”.*horizon/],
    ['a class without a model', 'against=design&of-class=hemi', /“model”/],
  ])('refuses %s', (_, search, message) => {
    expect(fromScreeningAddress(search)).toMatchObject({ status: 'refused', problems: expect.arrayContaining([expect.stringMatching(message)]) as unknown });
  });
});
