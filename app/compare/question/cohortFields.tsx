'use client';
import { designClassCodes } from '../../../lib/contract/codes';
import { designsOf, withGroups } from '../../../lib/contract/editQuestion';
import type { Cohort, Question } from '../../../lib/contract/question';
import { comparisonFactor } from '../../../lib/cohort/comparison';
import { Checks, Choice } from '../../parts/fields';
import { FixationFields, known } from '../../parts/procedureFields';
import { LevelChecks } from './LevelChecks';

export interface FieldProps {
  readonly question: Question;
  readonly change: (question: Question) => string | null;
}

export const withCohort = (question: Question, part: Partial<Cohort>): Question => ({ ...question, cohort: { ...question.cohort, ...part } });

export function ImplantFields({ question, change }: FieldProps) {
  const { role, designs, models } = question.cohort;
  return (
    <>
      <FixationFields cohort={question.cohort} change={(part) => { change(withCohort(question, part)); }} />
      <Checks
        label="Design class" chosen={designs} options={designsOf(role).map(({ code, label }) => ({ key: code, label }))} help="None chosen anywhere here: any implant."
        onChange={(keys) => { change(withCohort(question, { designs: known(keys, designClassCodes) })); }}
      />
      <LevelChecks
        label="Model" compare="model" chosen={models} help="None chosen: any model." question={withCohort({ ...question, groups: [] }, { models: [] })}
        onChange={(keys) => { change(withCohort(question, { models: keys })); }}
      />
    </>
  );
}

export function GroupFields({ question, change }: FieldProps) {
  const { groups, reference } = question;
  return (
    <>
      <LevelChecks
        label="Groups to compare" compare={question.compare} chosen={groups} help="None chosen: the eight largest." question={{ ...question, groups: [] }}
        onChange={(keys) => { change(withGroups(question, keys)); }}
      />
      {groups.length > 0 && (
        <Choice
          label="Reference" chosen={reference ?? ''} options={[{ key: '', label: 'The largest' }, ...groups.map((key) => ({ key, label: comparisonFactor(question).labelOf(key) }))]}
          onChange={(key) => { change({ ...question, reference: key === '' ? null : key }); }}
        />
      )}
    </>
  );
}
