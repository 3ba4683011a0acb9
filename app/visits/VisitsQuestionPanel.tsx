'use client';
import { comparisonFactor } from '../../lib/cohort/comparison';
import { withJoint } from '../../lib/contract/editQuestion';
import { measures } from '../../lib/contract/measures';
import type { ProcedureCohort, Question } from '../../lib/contract/question';
import { visitWindows } from '../../lib/contract/visitWindows';
import { revisionQuestion, type VisitsQuestion } from '../../lib/contract/visitsQuestion';
import type { VisitsReport } from '../../lib/reports/visits/visitsReport';
import { visitsQuestionWords } from '../../lib/reports/visits/visitsQuestionWords';
import { GroupFields, ImplantFields, withCohort } from '../compare/question/cohortFields';
import { AdjustFields, CompareFields, HorizonFields, OutcomeFields } from '../compare/question/comparisonFields';
import { Checks } from '../parts/fields';
import { phrasesOf } from '../parts/Phrase';
import { ClassFields, IndicationFields, JointChoice, PatientFields, YearFields } from '../parts/procedureFields';
import { useEdits, type Ask } from '../parts/useEdits';
import { VisitsSettings } from './VisitsSettings';
import '../parts/question.css';

interface Props {
  readonly question: VisitsQuestion;
  readonly ask: Ask<VisitsQuestion>;
  readonly report: VisitsReport | null;
}

/** What is asked of the visits, as a sentence, each part of which can be edited. The parts about revision are those of a comparison. */
export function VisitsQuestionPanel({ question, ask, report }: Props) {
  const edits = useEdits(ask), { change, endEdit } = edits, phrase = phrasesOf(edits);
  const aboutRevision = revisionQuestion(question);
  const words = visitsQuestionWords(question, comparisonFactor(aboutRevision).labelOf);
  const changeRevision = ({ cohort, compare, groups, withOthers, reference, adjust, outcome, horizonYears }: Question) =>
    change({ ...question, cohort, compare, groups, withOthers, reference, adjust, outcome, horizonYears });
  const fields = { question: aboutRevision, change: changeRevision };
  const procedures = { cohort: question.cohort, change: (part: Partial<ProcedureCohort>) => { changeRevision(withCohort(aboutRevision, part)); } };
  const offered = measures.filter(({ name }) => report === null || report.recorded.includes(name) || question.measures.includes(name));
  return (
    <section className="question" aria-label="The question">
      <p className="sentence">
        Among {phrase('Class', words.classes, <ClassFields {...procedures} />)} replacements of the {phrase('Joint', words.joint, <JointChoice joint={question.cohort.joint} change={(joint) => { changeRevision(withJoint(aboutRevision, joint)); }} />)}
        {' '}for {phrase('Indication', words.indications, <IndicationFields {...procedures} />)}, in {phrase('Patients', words.patients, <PatientFields {...procedures} />)},
        {' '}operated in {phrase('Years', words.years, <YearFields {...procedures} />)}, with {phrase('Implants', words.implants, <ImplantFields {...fields} />)}:
        {' '}how do {phrase('What to compare', words.compare, <CompareFields {...fields} />)} compare, {phrase('Groups', words.groups, <GroupFields {...fields} />)},
        {' '}in {phrase('Measures', words.measures, (
          <Checks
            label="Measures" chosen={question.measures} options={offered.map(({ name, label }) => ({ key: name, label }))} help="None chosen: everything that is recorded."
            onChange={(chosen) => { change({ ...question, measures: chosen }); }}
          />
        ))} at {phrase('Visits', words.visits, (
          <Checks
            label="Visits" chosen={question.windows} options={visitWindows.map(({ code, label }) => ({ key: code, label }))} help="None chosen: every visit."
            onChange={(chosen) => { change({ ...question, windows: visitWindows.map(({ code }) => code).filter((code) => chosen.includes(code)) }); }}
          />
        ))}, adjusted for {phrase('Adjusted for', words.adjust, <AdjustFields {...fields} />)}, and which signs go with later revision
        {' '}{phrase('Outcome', words.outcome, <OutcomeFields {...fields} />)} within {phrase('Horizon', words.horizon, <HorizonFields {...fields} />)}?
      </p>
      <VisitsSettings question={question} change={change} endEdit={endEdit} instruments={report?.instruments ?? []} />
    </section>
  );
}
