import fc from 'fast-check';
import { codesOf, designClassCodes, fixationCodes, indicationCodes, procedureClassCodes, reasonCodes, sexCodes } from '@/lib/contract/codes';
import { clusterUnits, comparisons, covariates, Question, strataFactors } from '@/lib/contract/question';

const some = <T extends string>(values: readonly T[], most = values.length) => fc.oneof({ weight: 2, arbitrary: fc.constant<T[]>([]) }, { weight: 1, arbitrary: fc.uniqueArray(fc.constantFrom(...values), { minLength: 1, maxLength: most }) });
const maybe = (from: number, to: number) => fc.option(fc.integer({ min: from, max: to }), { freq: 2 });
const ascending = (from: number | null, to: number | null) => (from !== null && to !== null && from > to ? [to, from] : [from, to]);

/** Questions that a person could ask of the sample registry; of many of them it has no procedure. */
export const questions: fc.Arbitrary<Question> = fc.record({
  role: fc.constantFrom('glenoid', 'humeral_stem'), classes: some(codesOf(procedureClassCodes)), indications: some(codesOf(indicationCodes)), sexes: some(codesOf(sexCodes)),
  ages: fc.tuple(maybe(40, 90), maybe(40, 90)), years: fc.tuple(maybe(1995, 2024), maybe(1995, 2024)),
  proximalFixations: some(codesOf(fixationCodes)), distalFixations: some(codesOf(fixationCodes)), designs: some(codesOf(designClassCodes), 4),
  compare: fc.constantFrom(...comparisons), groups: some([...codesOf(designClassCodes), ...codesOf(sexCodes), ...codesOf(procedureClassCodes)], 4), withOthers: fc.boolean(),
  adjust: some(covariates, 3), strata: some(strataFactors, 2), cluster: fc.constantFrom(...clusterUnits),
  kinds: fc.constantFrom(['major', 'minor'], ['major'], ['minor']), reasons: some(codesOf(reasonCodes)), ofRoleOnly: fc.boolean(), horizonYears: fc.integer({ min: 1, max: 30 }),
}).map(({ ages, years, kinds, reasons, ofRoleOnly, compare, groups, withOthers, adjust, strata, cluster, horizonYears, ...cohort }) => {
  const [minAge, maxAge] = ascending(...ages), [firstYear, lastYear] = ascending(...years);
  return Question.parse({
    cohort: { ...cohort, minAge, maxAge, firstYear, lastYear }, outcome: { kinds, reasons, ofRoleOnly },
    compare, groups, withOthers: withOthers && groups.length > 0, adjust, strata, cluster, horizonYears,
  });
});
