import { roleCodes, type Role } from './codes';
import { rolesOf, withComparison, withRole } from './editQuestion';
import { comparisons, type Comparison, type Covariate, type ProcedureCohort, type Question } from './question';
import type { ProcedurePart, Recorded } from './recorded';

// What a question asks for that an extract nowhere records, and the same question without it.

/** A question without what is not recorded; `missing`: names of what was left out, as in the dictionary's words. */
export interface WithoutUnrecorded<Q> { readonly question: Q; readonly missing: readonly string[] }

export const partLabels: Readonly<Record<ProcedurePart, string>> = {
  patient: 'patient', side: 'side', class: 'class of procedure', indication: 'indication', age: 'age', sex: 'sex', asa: 'ASA grade', bmi: 'body mass index',
  approach: 'approach', proximal_fixation: 'fixation (proximal)', distal_fixation: 'fixation (distal)', hospital: 'hospital', surgeon: 'surgeon', region: 'region',
};

const partOfCovariate: Readonly<Record<Covariate, ProcedurePart | null>> = {
  age: 'age', age_linear: 'age', sex: 'sex', indication: 'indication', asa: 'asa', bmi: 'bmi', period: null, class: 'class', approach: 'approach',
};

const restrictions: readonly { readonly part: ProcedurePart; readonly asks: (cohort: ProcedureCohort) => boolean; readonly without: Partial<ProcedureCohort> }[] = [
  { part: 'class', asks: ({ classes }) => classes.length > 0, without: { classes: [] } },
  { part: 'indication', asks: ({ indications }) => indications.length > 0, without: { indications: [] } },
  { part: 'sex', asks: ({ sexes }) => sexes.length > 0, without: { sexes: [] } },
  { part: 'age', asks: ({ minAge, maxAge }) => minAge !== null || maxAge !== null, without: { minAge: null, maxAge: null } },
  { part: 'proximal_fixation', asks: ({ proximalFixations }) => proximalFixations.length > 0, without: { proximalFixations: [] } },
  { part: 'distal_fixation', asks: ({ distalFixations }) => distalFixations.length > 0, without: { distalFixations: [] } },
];

export const isPartRecorded = ({ of }: Recorded, part: ProcedurePart | null): boolean => part === null || of[part] > 0;
export const isCovariateRecorded = (recorded: Recorded, covariate: Covariate): boolean => isPartRecorded(recorded, partOfCovariate[covariate]);

/** Whether anything can be compared by it; design, model and material are those of the role. */
export function isComparisonRecorded(recorded: Recorded, compare: Comparison, role: Role): boolean {
  if (compare === 'design' || compare === 'model' || compare === 'material') return (recorded.components[role]?.[compare] ?? 0) > 0;
  return isPartRecorded(recorded, compare === 'period' ? null : compare);
}

/** Any question about procedures: what its cohort is restricted to and what is adjusted for. */
export function withoutUnrecorded<Q extends { readonly cohort: ProcedureCohort; readonly adjust: Covariate[] }>(question: Q, recorded: Recorded): WithoutUnrecorded<Q> {
  const dropped = restrictions.filter(({ part, asks }) => asks(question.cohort) && !isPartRecorded(recorded, part));
  const covariates = question.adjust.filter((covariate) => !isCovariateRecorded(recorded, covariate));
  const parts = new Set([...dropped.map(({ part }) => part), ...covariates.flatMap((covariate) => partOfCovariate[covariate] ?? [])]);
  return {
    question: {
      ...question,
      cohort: dropped.reduce<Q['cohort']>((cohort, { without }) => ({ ...cohort, ...without }), question.cohort),
      adjust: question.adjust.filter((covariate) => !covariates.includes(covariate)),
    },
    missing: [...parts].map((part) => partLabels[part]),
  };
}

/** A comparison; one by something that is not recorded becomes one by the first thing that is, of the component that most procedures have. */
export function comparisonWithoutUnrecorded(asked: Question, recorded: Recorded): WithoutUnrecorded<Question> {
  const { question: first, missing: ofProcedure } = withoutUnrecorded(asked, recorded), missing = [...ofProcedure];
  let question = first;
  const { cluster } = question, strata = question.strata.filter((factor) => factor === 'period' || isPartRecorded(recorded, factor));
  if (strata.length < question.strata.length) missing.push(...question.strata.filter((factor) => !strata.includes(factor)).map((factor) => partLabels[factor as ProcedurePart]));
  if (cluster !== 'none' && !isPartRecorded(recorded, cluster)) question = { ...question, cluster: 'patient' }; // the usual one, which says what it lacks
  question = { ...question, strata };
  const { compare, cohort: { joint, role, designs, models, exceptModels } } = question;
  const of = recorded.components[role], most = rolesOf(joint).map(({ code }) => code).sort((a, b) => size(recorded, b) - size(recorded, a))[0];
  const restrictsBy = [...(designs.length > 0 ? ['design' as const] : []), ...(models.length + exceptModels.length > 0 ? ['model' as const] : [])];
  if (of === undefined && most !== undefined && size(recorded, most) > 0) {
    missing.push(roleCodes.find(({ code }) => code === role)?.label.toLowerCase() ?? role);
    question = withRole(question, most);
  } else if (restrictsBy.some((part) => (of?.[part] ?? 0) === 0)) {
    missing.push(...restrictsBy.filter((part) => (of?.[part] ?? 0) === 0).map((part) => componentWords[part]));
    question = withRole(question, role);
  }
  if (!isComparisonRecorded(recorded, compare, question.cohort.role)) {
    const possible = comparisons.find((other) => isComparisonRecorded(recorded, other, question.cohort.role)) ?? 'period';
    if (of !== undefined || !(compare in componentWords) || size(recorded, question.cohort.role) === 0) missing.push(compare in componentWords ? componentWords[compare as 'design'] : partLabels[compare as ProcedurePart]);
    question = withComparison(question, possible);
  }
  return { question, missing: [...new Set(missing)] };
}

const componentWords = { design: 'design class', model: 'model', material: 'material' } as const;
const size = ({ components }: Recorded, role: Role): number => Math.max(components[role]?.design ?? 0, components[role]?.model ?? 0);
