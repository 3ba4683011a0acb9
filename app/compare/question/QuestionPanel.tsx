'use client';
import { memo } from 'react';
import { comparisonFactor } from '../../../lib/cohort/comparison';
import { withJoint } from '../../../lib/contract/editQuestion';
import type { ProcedureCohort, Question } from '../../../lib/contract/question';
import { questionWords } from '../../../lib/reports/questionWords';
import { ClassFields, IndicationFields, JointChoice, PatientFields, YearFields } from '../../parts/procedureFields';
import { GroupFields, ImplantFields, withCohort } from './cohortFields';
import { AdjustFields, CompareFields, HorizonFields, OutcomeFields } from './comparisonFields';
import { phrasesOf } from '../../parts/Phrase';
import { useEdits, type Ask } from '../../parts/useEdits';
import { Settings } from './Settings';
import '../../parts/question.css';

/** The question as a sentence, each part of which can be edited. */
export const QuestionPanel = memo(function QuestionPanel({ question, ask }: { readonly question: Question; readonly ask: Ask<Question> }) {
  const edits = useEdits(ask), { change, endEdit } = edits, phrase = phrasesOf(edits);
  const { labelOf } = comparisonFactor(question);
  const words = questionWords(question, labelOf);
  const fields = { question, change };
  const procedures = { cohort: question.cohort, change: (part: Partial<ProcedureCohort>) => { change(withCohort(question, part)); } };
  return (
    <section className="question" aria-label="The question">
      <h1 className="hidden-label">Compare</h1>
      <p className="sentence">
        Among {phrase('Class', words.classes, <ClassFields {...procedures} />)} replacements of the {phrase('Joint', words.joint, <JointChoice joint={question.cohort.joint} change={(joint) => { change(withJoint(question, joint)); }} />)}
        {' '}for {phrase('Indication', words.indications, <IndicationFields {...procedures} />)}, in {phrase('Patients', words.patients, <PatientFields {...procedures} />)},
        {' '}operated in {phrase('Years', words.years, <YearFields {...procedures} />)}, with {phrase('Implants', words.implants, <ImplantFields {...fields} />)}:
        {' '}how do {phrase('What to compare', words.compare, <CompareFields {...fields} />)} compare,
        {' '}{phrase('Groups', words.groups, <GroupFields {...fields} />)}, adjusted for {phrase('Adjusted for', words.adjust, <AdjustFields {...fields} />)},
        {' '}counting revision {phrase('Outcome', words.outcome, <OutcomeFields {...fields} />)},
        {' '}within {phrase('Horizon', words.horizon, <HorizonFields {...fields} />)}?
      </p>
      <Settings question={question} change={change} endEdit={endEdit} />
    </section>
  );
});
