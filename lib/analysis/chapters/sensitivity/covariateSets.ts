import type { Covariate, Question } from '../../../contract/question';

/** Reasonable choices of covariates: always age and sex, then what else may have led to one group or the other. Common practice, no source. */
const sets: readonly (readonly Covariate[])[] = [
  ['age', 'sex'],
  ['age', 'sex', 'indication'],
  ['age', 'sex', 'indication', 'period'],
  ['age', 'sex', 'indication', 'asa', 'bmi'],
  ['age', 'sex', 'indication', 'asa', 'bmi', 'period'],
];

/** The sets that the question can be asked with: what is compared, or stratified by, is no covariate. */
export function covariateSets({ compare, strata }: Question): readonly (readonly Covariate[])[] {
  const spoken = new Set<string>([compare, ...strata]);
  const possible = sets.map((set) => set.filter((covariate) => !spoken.has(covariate)));
  return possible.filter((set, i) => possible.findIndex((other) => sameSet(other, set)) === i);
}

export const sameSet = (one: readonly Covariate[], other: readonly Covariate[]): boolean =>
  new Set([...one, ...other]).size === new Set(one).size && new Set(one).size === new Set(other).size;
