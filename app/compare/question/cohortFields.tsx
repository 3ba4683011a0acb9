'use client';
import { designClassCodes } from '../../../lib/contract/codes';
import { designsOf, withGroups } from '../../../lib/contract/editQuestion';
import { othersKey, type Cohort, type Question } from '../../../lib/contract/question';
import { comparisonFactor } from '../../../lib/cohort/comparison';
import { Checks, Choice } from '../../parts/fields';
import { FixationFields, known } from '../../parts/procedureFields';
import { LevelChecks } from './LevelChecks';

export interface FieldProps {
  readonly question: Question;
  readonly change: (question: Question) => string | null;
}

export const withCohort = (question: Question, part: Partial<Cohort>): Question => ({ ...question, cohort: { ...question.cohort, ...part } });

/** The question by the levels of a comparison alone, whatever groups it makes of them. */
const byLevel = (question: Question): Question => ({ ...question, groups: [], withOthers: false });

export function ImplantFields({ question, change }: FieldProps) {
  const { role, designs, models, exceptModels } = question.cohort;
  return (
    <>
      <FixationFields cohort={question.cohort} change={(part) => { change(withCohort(question, part)); }} />
      <Checks
        label="Design class" chosen={designs} options={designsOf(role).map(({ code, label }) => ({ key: code, label }))} help="None chosen anywhere here: any implant."
        onChange={(keys) => { change(withCohort(question, { designs: known(keys, designClassCodes) })); }}
      />
      <LevelChecks
        label="Model" compare="model" chosen={models} help="None chosen: any model." question={withCohort(byLevel(question), { models: [] })}
        onChange={(keys) => { change(withCohort(question, { models: keys })); }}
      />
      <LevelChecks
        label="Models left out" compare="model" chosen={exceptModels} help="Such as withdrawn ones, or others that are under review." question={withCohort(byLevel(question), { exceptModels: [] })}
        onChange={(keys) => { change(withCohort(question, { exceptModels: keys })); }}
      />
    </>
  );
}

export function GroupFields({ question, change }: FieldProps) {
  const { groups, withOthers, reference } = question, { labelOf } = comparisonFactor(question);
  return (
    <>
      <LevelChecks
        label="Groups to compare" compare={question.compare} chosen={groups} help="None chosen: the eight largest." question={byLevel(question)}
        onChange={(keys) => { change(withGroups(question, keys)); }}
      />
      {groups.length > 0 && (
        <>
          <Checks
            label="The rest" chosen={withOthers ? [othersKey] : []} options={[{ key: othersKey, label: 'All others as one group' }]}
            help="Whatever is not chosen above, taken together: holds one against all others of its kind."
            onChange={(keys) => { change(withGroups(question, groups, keys.includes(othersKey))); }}
          />
          <Choice
            label="Reference" chosen={reference ?? ''}
            options={withOthers
              ? [{ key: '', label: labelOf(othersKey) }, ...groups.map((key) => ({ key, label: labelOf(key) }))]
              : [{ key: '', label: 'The largest' }, ...groups.map((key) => ({ key, label: labelOf(key) }))]}
            onChange={(key) => { change({ ...question, reference: key === '' ? null : key }); }}
          />
        </>
      )}
    </>
  );
}
