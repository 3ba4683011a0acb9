import { appliesTo, designClassCodes, roleCodes, type Code, type Joint, type Role } from './codes';
import { othersKey, type Cohort, type Comparison, type Question } from './question';

// Changes of a question that make other parts of it meaningless, and so reset them.

export const rolesOf = (joint: Joint): readonly (Code & { readonly code: Role })[] => roleCodes.filter((role) => appliesTo(role, joint));

export const designsOf = (role: Role): readonly Code[] => designClassCodes.filter(({ roles }) => (roles as readonly Role[]).includes(role));

const withoutGroups: Pick<Question, 'groups' | 'withOthers' | 'reference'> = { groups: [], withOthers: false, reference: null };
const withoutModels: Pick<Cohort, 'designs' | 'models' | 'exceptModels'> = { designs: [], models: [], exceptModels: [] };

/** Another joint has other classes, indications, components and reasons. */
export function withJoint(question: Question, joint: Joint): Question {
  const role = rolesOf(joint)[0]?.code ?? question.cohort.role;
  const cohort: Cohort = { ...question.cohort, joint, role, classes: [], indications: [], ...withoutModels };
  return { ...question, cohort, ...withoutGroups, outcome: { ...question.outcome, reasons: [], ofRoleOnly: false } };
}

/** Another component has other designs and models. */
export const withRole = (question: Question, role: Role): Question => ({ ...question, cohort: { ...question.cohort, role, ...withoutModels }, ...withoutGroups });

/** Another comparison has other groups. A covariate that is compared is not adjusted for. */
export const withComparison = (question: Question, compare: Comparison): Question => ({
  ...question, compare, ...withoutGroups,
  adjust: question.adjust.filter((covariate) => covariate !== compare),
  strata: question.strata.filter((factor) => factor !== compare),
});

/** The reference stays one of the groups, and others stand against some. */
export function withGroups(question: Question, groups: Question['groups'], withOthers = question.withOthers): Question {
  const { reference } = question, others = withOthers && groups.length > 0;
  const stays = reference === null || groups.includes(reference) || (reference === othersKey ? others : groups.length === 0);
  return { ...question, groups, withOthers: others, reference: stays ? reference : null };
}
