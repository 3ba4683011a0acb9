import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromAddress, toAddress } from '@/lib/contract/address';
import * as codes from '@/lib/contract/codes';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { clusterUnits, comparisons, covariates, othersKey, Question, strataFactors } from '@/lib/contract/question';
import { View } from '@/lib/contract/view';

const some = <T>(values: readonly T[]) => fc.uniqueArray(fc.constantFrom(...values), { maxLength: 4 });
const identifier = fc.string({ minLength: 1, maxLength: 12, unit: 'grapheme' }); // a registry may name its models as it likes
const years = fc.double({ min: 0.001, max: 30, noNaN: true }).map((y) => Math.round(y * 100) / 100 + 0.01).filter((y) => y <= 30);
const nullable = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: null });

const cohort = fc.record({
  joint: fc.constantFrom(...codes.joints),
  role: fc.constantFrom(...codes.codesOf(codes.roleCodes)),
  classes: some(codes.codesOf(codes.procedureClassCodes)),
  indications: some(codes.codesOf(codes.indicationCodes)),
  sexes: some(codes.codesOf(codes.sexCodes)),
  minAge: nullable(fc.integer({ min: 0, max: 60 })),
  maxAge: nullable(fc.integer({ min: 60, max: 120 })),
  firstYear: nullable(fc.integer({ min: 1950, max: 2000 })),
  lastYear: nullable(fc.integer({ min: 2000, max: 2100 })),
  proximalFixations: some(codes.codesOf(codes.fixationCodes)),
  distalFixations: some(codes.codesOf(codes.fixationCodes)),
  designs: some(codes.codesOf(codes.designClassCodes)),
  models: fc.array(identifier, { maxLength: 3 }),
  exceptModels: fc.array(identifier, { maxLength: 3 }),
});
const anyQuestion = fc.record({
  cohort,
  compare: fc.constantFrom(...comparisons),
  groups: fc.array(identifier, { maxLength: 3 }),
  withOthers: fc.boolean(),
  reference: nullable(identifier),
  adjust: some(covariates),
  strata: some(strataFactors),
  cluster: fc.constantFrom(...clusterUnits),
  outcome: fc.record({
    kinds: fc.constantFrom(['major' as const, 'minor' as const], ['major' as const], ['minor' as const]),
    reasons: some(codes.codesOf(codes.reasonCodes)),
    ofRoleOnly: fc.boolean(),
  }),
  horizonYears: fc.integer({ min: 1, max: 30 }),
  atYears: fc.array(years, { minLength: 1, maxLength: 5 }),
  cutYears: fc.uniqueArray(years, { maxLength: 3 }).map((cuts) => [...cuts].sort((a, b) => a - b)),
  confidence: fc.constantFrom(0.9, 0.95, 0.99),
  largestStep: fc.constantFrom(0, 0.01, 0.02, 1),
});
const question = anyQuestion.map((q) => ({ ...q, withOthers: q.withOthers && q.groups.length > 0 && !q.groups.includes(othersKey) }));
const view = fc.record({
  axis: fc.constantFrom('years' as const, 'days' as const), spanYears: nullable(years), bands: fc.boolean(),
  deaths: fc.constantFrom('censored' as const, 'competing' as const, 'both' as const),
});

describe('the address holds the question', () => {
  it('gives back every question and view it was made from', () => {
    fc.assert(fc.property(question, view, (q, v) => {
      const asked = Question.parse(q);
      expect(fromAddress(toAddress(asked, View.parse(v)))).toEqual({ status: 'ok', question: asked, view: v });
    }), { numRuns: 500 });
  });

  it('asks the opening question when it is empty, and the plain question only when told so', () => {
    expect(fromAddress('')).toEqual({ status: 'ok', question: openingQuestion, view: View.parse({}) });
    expect(fromAddress(toAddress(Question.parse({}), View.parse({})))).toMatchObject({ question: Question.parse({}) });
  });

  it('holds one model against all others of its design, without a withdrawn one', () => {
    const asked = Question.parse({
      cohort: { role: 'glenoid', designs: ['all_poly_pegged'], exceptModels: ['G-PEG-04'] }, compare: 'model', groups: ['G-PEG-02'], withOthers: true,
    });
    expect(toAddress(asked, View.parse({}))).toBe('compare=model&design=all_poly_pegged&without=G-PEG-04&group=G-PEG-02&others=yes');
  });

  it('reads like the question', () => {
    expect(toAddress(openingQuestion, View.parse({}))).toBe(
      'compare=design&class=anatomic_total&group=all_poly_pegged&group=all_poly_keeled&reference=all_poly_pegged&adjust=age&adjust=sex',
    );
  });
});

describe('a link that cannot be read is refused, never answered for a wider cohort', () => {
  it.each([
    ['a misspelt parameter', 'compare=design&clas=hemi', /“clas”/],
    ['a misspelt code', 'compare=design&class=hemy', /“class” in the address is “hemy”: /],
    ['one misspelt code of several', 'compare=design&class=hemi&class=hemy', /^“class” in the address is “hemy”: /],
    ['a number that is none', 'compare=design&age-from=55x', /“age-from” in the address is “55x”: it has to be a number\.$/],
    ['a number out of range', 'compare=design&horizon=400', /“horizon” in the address is “400”: .*30/],
    ['a flag that is none', 'compare=design&role-only=true', /“role-only” in the address is “true”: it has to be “yes” or “no”\.$/],
    ['a value that is missing', 'compare=design&horizon=', /“horizon” in the address: it has to be a number\.$/],
    ['a value without an end', `compare=model&model=${'x'.repeat(80)}`, /“model” in the address is “x{40}…”: .*64/],
    ['a single value given twice', 'compare=design&joint=hip&joint=knee', /“joint”.*2 times \(“hip”, “knee”\)/],
    ['ages that cross', 'compare=design&age-from=80&age-to=60', /is “80”: minAge must not be above maxAge/],
    ['others of nothing', 'compare=model&others=yes', /“others”.*at least one group/],
    ['a group that goes by the name of all others', 'compare=model&group=others&others=yes', /“group”.*“others”/],
    ['a view that is none', 'axis=weeks', /“axis”/],
  ])('%s', (_, search, message) => {
    const asked = fromAddress(search);
    expect(asked).toMatchObject({ status: 'refused', problems: [expect.stringMatching(message)] });
  });

  it('does not repeat the value of a parameter that it does not know, which may be somebody’s key', () => {
    expect(fromAddress('compare=design&patient=P0042')).toEqual({ status: 'refused', problems: ['“patient” is not a parameter of the address.'] });
  });
});
