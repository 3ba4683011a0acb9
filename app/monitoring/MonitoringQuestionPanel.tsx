'use client';
import { labelOf, roleCodes } from '../../lib/contract/codes';
import { rolesOf } from '../../lib/contract/editQuestion';
import { subjectKinds, type MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import { covariates, type ProcedureCohort } from '../../lib/contract/question';
import { monitoringQuestionWords } from '../../lib/reports/monitoring/monitoringQuestionWords';
import { inSentence } from '../../lib/reports/questionWords';
import { Checks, Choice, NumberEntry } from '../parts/fields';
import { phrasesOf } from '../parts/Phrase';
import { ClassFields, IndicationFields, JointChoice, KindChecks, PatientFields, ReasonChecks, YearFields } from '../parts/procedureFields';
import { useEdits, type Ask } from '../parts/useEdits';
import { MonitoringSettings } from './MonitoringSettings';
import '../parts/question.css';
import { useCovariateOptions } from '../parts/useCovariateOptions';

const subjectLabels = { hospital: 'Hospitals', surgeon: 'Surgeons', component: 'Models of a component' } as const;

interface Fields { readonly question: MonitoringQuestion; readonly change: (question: MonitoringQuestion) => void }

/** What is asked of a chart, as a sentence, each part of which can be edited. It names no hospital and no surgeon. */
export function MonitoringQuestionPanel({ question, ask }: { readonly question: MonitoringQuestion; readonly ask: Ask<MonitoringQuestion> }) {
  const covariateOptions = useCovariateOptions();
  const edits = useEdits(ask), { change, endEdit, problem } = edits, phrase = phrasesOf(edits);
  const words = monitoringQuestionWords(question), { cohort } = question, fields: Fields = { question, change };
  const procedures = { cohort, change: (part: Partial<ProcedureCohort>) => { change({ ...question, cohort: { ...cohort, ...part } }); } };
  return (
    <section className="question" aria-label="The question">
      <p className="sentence">
        Among {phrase('Class', words.classes, <ClassFields {...procedures} />)} replacements of the {phrase('Joint', words.joint, <JointFields {...fields} />)}
        {' '}for {phrase('Indication', words.indications, <IndicationFields {...procedures} />)}, in {phrase('Patients', words.patients, <PatientFields {...procedures} />)},
        {' '}operated in {phrase('Years', words.years, <YearFields {...procedures} />)}:
        {' '}do revisions of {phrase('Whose', words.subject, <SubjectFields {...fields} />)} come {phrase('Ratio', words.ratio, (
          <NumberEntry
            label="How many times the expected" value={question.ratio} least={1.1} most={10} step={0.1} isRequired help="What the chart looks for. A lower ratio takes longer to see."
            onChange={(ratio) => { if (ratio !== null) change({ ...question, ratio }); }}
          />
        ))} as often over time as expected, adjusted for {phrase('Adjusted for', words.adjust, (
          <Checks
            label="Adjusted for" chosen={question.adjust} options={covariateOptions}
            help="What was there before surgery. Procedures without a record of a covariate are left out."
            onChange={(keys) => { change({ ...question, adjust: covariates.filter((c) => keys.includes(c)) }); }}
          />
        ))}, counting revision {phrase('Outcome', words.outcome, <OutcomeFields {...fields} />)}, within {phrase('Horizon', words.horizon, (
          <NumberEntry
            label="Years since surgery to look at" value={question.horizonYears} least={1} most={30} step={1} isRequired help="Follow-up beyond is not used."
            onChange={(horizonYears) => { if (horizonYears !== null) change({ ...question, horizonYears }); }}
          />
        ))} of surgery, with a chance of a false signal of {phrase('False signals', words.falseAlarm, (
          <>
            <NumberEntry
              label="Chance of a false signal, %" value={question.falseAlarm * 100} least={0.1} most={50} step={0.1} isRequired help="Of any signal in so many years although nothing is behind it, however often one looks."
              onChange={(value) => { if (value !== null) change({ ...question, falseAlarm: value / 100 }); }}
            />
            <NumberEntry label="In how many years" value={question.overYears} least={1} most={20} step={1} isRequired onChange={(overYears) => { if (overYears !== null) change({ ...question, overYears }); }} />
          </>
        ))}?
      </p>
      <MonitoringSettings question={question} change={change} endEdit={endEdit} problem={problem} />
    </section>
  );
}

/** Another joint has other classes, indications, components and reasons. */
const JointFields = ({ question, change }: Fields) => (
  <JointChoice
    joint={question.cohort.joint}
    change={(joint) => {
      change({
        ...question, role: rolesOf(joint)[0]?.code ?? question.role, model: null, reviews: [],
        cohort: { ...question.cohort, joint, classes: [], indications: [] }, outcome: { ...question.outcome, reasons: [], ofRoleOnly: false },
      });
    }}
  />
);

const SubjectFields = ({ question, change }: Fields) => (
  <>
    <Choice
      label="Whose revisions" chosen={question.kind} options={subjectKinds.map((key) => ({ key, label: subjectLabels[key] }))}
      help="Of procedures at an implanting hospital, by a surgeon of record, or with a model. Which one is chosen below."
      onChange={(key) => {
        const kind = subjectKinds.find((k) => k === key);
        if (kind !== undefined) change({ ...question, kind, model: null, reviews: [], outcome: { ...question.outcome, ofRoleOnly: false } });
      }}
    />
    {question.kind === 'component' && (
      <Choice
        label="Component" chosen={question.role} options={rolesOf(question.cohort.joint).map(({ code, label }) => ({ key: code, label }))}
        help="A model is held against all others of this component and of its own design class."
        onChange={(key) => { const role = roleCodes.find(({ code }) => code === key)?.code; if (role !== undefined) change({ ...question, role, model: null, reviews: [] }); }}
      />
    )}
  </>
);

function OutcomeFields({ question, change }: Fields) {
  const { outcome, cohort, kind, role } = question;
  return (
    <>
      <KindChecks kinds={outcome.kinds} change={(kinds) => { change({ ...question, outcome: { ...outcome, kinds } }); }} />
      {kind === 'component' && (
        <Choice
          label="Component" chosen={outcome.ofRoleOnly ? 'role' : 'any'}
          options={[{ key: 'any', label: 'Any component revised' }, { key: 'role', label: `Only if the ${inSentence(labelOf(roleCodes, role))} was removed or exchanged` }]}
          onChange={(key) => { change({ ...question, outcome: { ...outcome, ofRoleOnly: key === 'role' } }); }}
        />
      )}
      <ReasonChecks joint={cohort.joint} reasons={outcome.reasons} change={(reasons) => { change({ ...question, outcome: { ...outcome, reasons } }); }} />
    </>
  );
}
