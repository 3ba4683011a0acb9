import { newAtHospital } from '../../cohort/alternatives';
import { comparisonFactor } from '../../cohort/comparison';
import { componentLabel } from '../../cohort/labels';
import { unitFactor } from '../../cohort/unit';
import type { Role } from '../../contract/codes';
import { rolesOf } from '../../contract/editQuestion';
import type { Comparison, Question } from '../../contract/question';
import type { UnitCut } from '../units/unitCuts';

/** The ways to cut a model's procedures into parts; the question is that of the model against all others. */
export function componentCuts(question: Question): readonly UnitCut[] {
  const by = (name: UnitCut['name'] & Comparison): UnitCut => {
    const { label, key, labelOf } = comparisonFactor({ ...question, compare: name, groups: [], withOthers: false });
    return { name, label, key, labelOf: (of) => (of === null ? 'Not recorded' : labelOf(of)), ordered: name === 'period', note: null };
  };
  return [byUser('hospital'), byUser('surgeon'), by('period'), by('indication'), by('class'), byNewness(question.cohort.role)];
}

/** The components of other roles that the model was used with, a cut per role. */
export const partnerRoles = ({ cohort: { joint, role } }: Question): readonly Role[] => rolesOf(joint).map(({ code }) => code).filter((code) => code !== role);

export function partnerCut(question: Question, role: Role): UnitCut {
  const { label, key, labelOf } = comparisonFactor({ ...question, compare: 'model', groups: [], withOthers: false, cohort: { ...question.cohort, role } });
  return {
    name: 'model', label, key, labelOf: (of) => (of === null ? `Without a ${componentLabel(role)}` : labelOf(of)), ordered: false,
    note: 'Components used together cannot be told apart where one is hardly used without the other.',
  };
}

const byUser = (kind: 'hospital' | 'surgeon'): UnitCut => ({
  name: kind, label: unitFactor(kind).label, key: unitFactor(kind).key, labelOf: (of) => of ?? 'Not recorded', ordered: false,
  note: `The ratios of ${kind}s are not comparable with each other: each has a case mix of its own.`,
});

const byNewness = (role: Role): UnitCut => ({
  name: 'learning', label: 'Time since the hospital began to use the model', key: `CASE ${newAtHospital(role).code} WHEN 1 THEN 'first' ELSE 'later' END`,
  labelOf: (of) => (of === 'first' ? 'First year of the model at its hospital' : 'Later'), ordered: true,
  note: 'Use from before the first procedure in the extract is not known of.',
});
