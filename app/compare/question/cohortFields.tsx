'use client';
import {
  appliesTo, designClassCodes, fixationCodes, indicationCodes, jointCodes, joints, procedureClassCodes, sexCodes, type Code, type Joint,
} from '../../../lib/contract/codes';
import { designsOf, withGroups, withJoint } from '../../../lib/contract/editQuestion';
import type { Cohort, Question } from '../../../lib/contract/question';
import { comparisonFactor } from '../../../lib/cohort/comparison';
import { fixationLabel } from '../../../lib/cohort/labels';
import { Between, Checks, Choice, type Option } from '../../parts/fields';
import { LevelChecks } from './LevelChecks';

export interface FieldProps {
  readonly question: Question;
  readonly change: (question: Question) => string | null;
}

export const optionsFor = (codes: readonly Code[], joint: Joint): readonly Option[] =>
  codes.filter((code) => appliesTo(code, joint)).map(({ code, label }) => ({ key: code, label }));

/** Keeps what is known of a list; the options offer nothing else. */
export const known = <T extends string>(keys: readonly string[], all: readonly { readonly code: T }[]): T[] =>
  keys.flatMap((key) => all.filter(({ code }) => code === key).map(({ code }) => code));

const withCohort = (question: Question, part: Partial<Cohort>): Question => ({ ...question, cohort: { ...question.cohort, ...part } });

export const JointFields = ({ question, change }: FieldProps) => (
  <Choice
    label="Joint" chosen={question.cohort.joint} options={jointCodes.map(({ code, label }) => ({ key: code, label }))}
    help="Another joint has other classes, components and reasons: those chosen are cleared."
    onChange={(key) => { const joint = joints.find((j) => j === key); if (joint !== undefined) change(withJoint(question, joint)); }}
  />
);

export const ClassFields = ({ question, change }: FieldProps) => (
  <Checks
    label="Class of procedure" help="None chosen: all classes." chosen={question.cohort.classes} options={optionsFor(procedureClassCodes, question.cohort.joint)}
    onChange={(keys) => { change(withCohort(question, { classes: known(keys, procedureClassCodes) })); }}
  />
);

export const IndicationFields = ({ question, change }: FieldProps) => (
  <Checks
    label="Indication" help="None chosen: any indication." chosen={question.cohort.indications} options={optionsFor(indicationCodes, question.cohort.joint)}
    onChange={(keys) => { change(withCohort(question, { indications: known(keys, indicationCodes) })); }}
  />
);

export const PatientFields = ({ question, change }: FieldProps) => (
  <>
    <Checks
      label="Sex" help="None chosen: women and men." chosen={question.cohort.sexes} options={optionsFor(sexCodes, question.cohort.joint)}
      onChange={(keys) => { change(withCohort(question, { sexes: known(keys, sexCodes) })); }}
    />
    <Between
      label="Age" from={question.cohort.minAge} to={question.cohort.maxAge} least={0} most={120}
      onChange={(minAge, maxAge) => { change(withCohort(question, { minAge, maxAge })); }}
    />
    <p className="help">Completed years at surgery, both ends included; empty: no limit.</p>
  </>
);

export const YearFields = ({ question, change }: FieldProps) => (
  <>
    <Between
      label="Year" from={question.cohort.firstYear} to={question.cohort.lastYear} least={1950} most={2100}
      onChange={(firstYear, lastYear) => { change(withCohort(question, { firstYear, lastYear })); }}
    />
    <p className="help">Calendar years of surgery, both ends included; empty: no limit.</p>
  </>
);

export function ImplantFields({ question, change }: FieldProps) {
  const { joint, role, designs, models, proximalFixations, distalFixations } = question.cohort;
  const fixations = optionsFor(fixationCodes, joint);
  return (
    <>
      <Checks
        label={fixationLabel(joint, 'proximal')} chosen={proximalFixations} options={fixations}
        onChange={(keys) => { change(withCohort(question, { proximalFixations: known(keys, fixationCodes) })); }}
      />
      <Checks
        label={fixationLabel(joint, 'distal')} chosen={distalFixations} options={fixations}
        onChange={(keys) => { change(withCohort(question, { distalFixations: known(keys, fixationCodes) })); }}
      />
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
