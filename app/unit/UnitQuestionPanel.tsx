'use client';
import type { ReactNode } from 'react';
import { covariates, type ProcedureCohort } from '../../lib/contract/question';
import { peerKinds, unitKinds, type UnitsQuestion } from '../../lib/contract/unitsQuestion';
import { peerLabels, unitNouns, unitsQuestionWords } from '../../lib/reports/units/unitsQuestionWords';
import { capital } from '../../lib/reports/phrases';
import { Checks, Choice, NumberEntry } from '../parts/fields';
import { phrasesOf } from '../parts/Phrase';
import { ClassFields, IndicationFields, JointChoice, KindChecks, PatientFields, ReasonChecks, YearFields } from '../parts/procedureFields';
import { useEdits, type Ask } from '../parts/useEdits';
import { UnitSettings } from './UnitSettings';
import '../parts/question.css';
import { useCovariateOptions } from '../parts/useCovariateOptions';

interface Props {
  readonly question: UnitsQuestion;
  readonly ask: Ask<UnitsQuestion>;
  readonly peers?: ReactNode; // the choice of single peers
}

/** What is asked of every unit, as a sentence, each part of which can be edited. It names no unit. */
export function UnitQuestionPanel({ question, ask, peers }: Props) {
  const covariateOptions = useCovariateOptions();
  const edits = useEdits(ask), { change, endEdit } = edits, phrase = phrasesOf(edits);
  const words = unitsQuestionWords(question), { cohort, outcome, kind } = question;
  const procedures = { cohort, change: (part: Partial<ProcedureCohort>) => { change({ ...question, cohort: { ...cohort, ...part } }); } };
  return (
    <section className="question" aria-label="The question">
      <p className="sentence">
        Among {phrase('Class', words.classes, <ClassFields {...procedures} />)} replacements of the {phrase('Joint', words.joint, (
          <JointChoice
            joint={cohort.joint}
            change={(joint) => { change({ ...question, cohort: { ...cohort, joint, classes: [], indications: [] }, outcome: { ...outcome, reasons: [] } }); }}
          />
        ))}
        {' '}for {phrase('Indication', words.indications, <IndicationFields {...procedures} />)}, in {phrase('Patients', words.patients, <PatientFields {...procedures} />)},
        {' '}operated in {phrase('Years', words.years, <YearFields {...procedures} />)}:
        {' '}how do the revisions at {phrase('Units', words.kind, (
          <Choice
            label="Whose results" chosen={kind} options={unitKinds.map((key) => ({ key, label: capital(unitNouns[key].several) }))}
            help="Implanting hospitals, or surgeons of record."
            onChange={(key) => { const found = unitKinds.find((k) => k === key); if (found !== undefined) change({ ...question, kind: found }); }}
          />
        ))} compare with those expected, adjusted for {phrase('Adjusted for', words.adjust, (
          <Checks
            label="Adjusted for" chosen={question.adjust} options={covariateOptions}
            help="What a unit cannot choose: its patients and their diseases. Procedures without a record of a covariate are left out."
            onChange={(keys) => { change({ ...question, adjust: covariates.filter((c) => keys.includes(c)) }); }}
          />
        ))}, counting revision {phrase('Outcome', words.outcome, (
          <>
            <KindChecks kinds={outcome.kinds} change={(kinds) => { change({ ...question, outcome: { ...outcome, kinds } }); }} />
            <ReasonChecks joint={cohort.joint} reasons={outcome.reasons} change={(reasons) => { change({ ...question, outcome: { ...outcome, reasons } }); }} />
          </>
        ))}, within {phrase('Horizon', words.horizon, (
          <NumberEntry
            label="Years since surgery to look at" value={question.horizonYears} least={1} most={30} step={1} isRequired help="Follow-up beyond is not used."
            onChange={(value) => { if (value !== null) change({ ...question, horizonYears: value }); }}
          />
        ))}, beside {phrase('Peers', words.peers, (
          <>
            <Choice
              label="Peers" chosen={question.peers} options={peerKinds.map((key) => ({ key, label: capital(peerLabels(kind)[key]) }))}
              help="Whom one unit is held against. All units in the funnel are held against all of them."
              onChange={(key) => { const found = peerKinds.find((k) => k === key); if (found !== undefined) change({ ...question, peers: found }); }}
            />
            {question.peers === 'chosen' && peers}
          </>
        ))}?
      </p>
      <UnitSettings question={question} change={change} endEdit={endEdit} />
    </section>
  );
}
