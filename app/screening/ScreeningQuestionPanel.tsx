'use client';
import { roleCodes } from '../../lib/contract/codes';
import { rolesOf } from '../../lib/contract/editQuestion';
import { covariates, type ProcedureCohort } from '../../lib/contract/question';
import { comparators, type ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import { comparatorLabels, screeningQuestionWords } from '../../lib/reports/screening/screeningQuestionWords';
import type { ListedModel } from '../../lib/reports/screening/screeningReport';
import { capital } from '../../lib/reports/phrases';
import { Checks, Choice, NumberEntry } from '../parts/fields';
import { phrasesOf } from '../parts/Phrase';
import { ClassFields, IndicationFields, JointChoice, KindChecks, known, PatientFields, ReasonChecks, YearFields } from '../parts/procedureFields';
import { useEdits, type Ask } from '../parts/useEdits';
import { Criteria } from './Criteria';
import '../parts/question.css';
import { useCovariateOptions } from '../parts/useCovariateOptions';

interface Props {
  readonly question: ScreeningQuestion;
  readonly ask: Ask<ScreeningQuestion>;
  readonly models: readonly ListedModel[];
}

/** What is screened, as a sentence, each part of which can be edited; and below it what a model must meet. */
export function ScreeningQuestionPanel({ question, ask, models }: Props) {
  const covariateOptions = useCovariateOptions();
  const edits = useEdits(ask), { change, endEdit, problem } = edits, phrase = phrasesOf(edits);
  const words = screeningQuestionWords(question), { cohort, outcome } = question;
  const procedures = { cohort, change: (part: Partial<ProcedureCohort>) => { change({ ...question, cohort: { ...cohort, ...part } }); } };
  return (
    <section className="question" aria-label="The question">
      <p className="sentence">
        Among {phrase('Class', words.classes, <ClassFields {...procedures} />)} replacements of the {phrase('Joint', words.joint, (
          <JointChoice
            joint={cohort.joint}
            change={(joint) => { change({ ...question, cohort: { ...cohort, joint, classes: [], indications: [] }, roles: [], exceptModels: [], outcome: { ...outcome, reasons: [] } }); }}
          />
        ))}
        {' '}for {phrase('Indication', words.indications, <IndicationFields {...procedures} />)}, in {phrase('Patients', words.patients, <PatientFields {...procedures} />)},
        {' '}operated in {phrase('Years', words.years, <YearFields {...procedures} />)}:
        {' '}which models of {phrase('Components', words.roles, (
          <Checks
            label="Kinds of component" chosen={question.roles} options={rolesOf(cohort.joint).map(({ code, label }) => ({ key: code, label }))} help="None chosen: every kind."
            onChange={(keys) => { change({ ...question, roles: known(keys, roleCodes) }); }}
          />
        ))} are revised more often than {phrase('Comparator', words.comparator, (
          <Choice
            label="What each model is held against" chosen={question.comparator} options={comparators.map((key) => ({ key, label: capital(comparatorLabels[key]) }))}
            help="A wider comparator holds designs against each other that are meant for other patients."
            onChange={(key) => { const found = comparators.find((c) => c === key); if (found !== undefined) change({ ...question, comparator: found }); }}
          />
        ))} ({phrase('Models left out', words.without, (
          <Checks
            label="Left out of the comparators" chosen={question.exceptModels} help="Such as withdrawn models, or those flagged: they are screened themselves, but no other is held against them."
            options={[...new Set([...question.exceptModels, ...models.map(({ chosen }) => chosen.model)])].map((key) => ({ key, label: key }))}
            onChange={(exceptModels) => { change({ ...question, exceptModels }); }}
          />
        ))}), counting revision {phrase('Outcome', words.outcome, (
          <>
            <KindChecks kinds={outcome.kinds} change={(kinds) => { change({ ...question, outcome: { ...outcome, kinds } }); }} />
            <Choice
              label="Component" chosen={outcome.ofRoleOnly ? 'role' : 'any'} options={[{ key: 'any', label: 'Any component revised' }, { key: 'role', label: 'Only if the component itself was removed or exchanged' }]}
              onChange={(key) => { change({ ...question, outcome: { ...outcome, ofRoleOnly: key === 'role' } }); }}
            />
            <ReasonChecks joint={cohort.joint} reasons={outcome.reasons} change={(reasons) => { change({ ...question, outcome: { ...outcome, reasons } }); }} />
          </>
        ))}, within {phrase('Horizon', words.horizon, (
          <NumberEntry
            label="Years since surgery to look at" value={question.horizonYears} least={1} most={30} step={1} isRequired help="Follow-up beyond is not used."
            onChange={(value) => { if (value !== null) change({ ...question, horizonYears: value }); }}
          />
        ))}; and does that stand adjusted for {phrase('Adjusted for', words.adjust, (
          <Checks
            label="Adjusted for" chosen={question.adjust} options={covariateOptions}
            help="Of the models that are flagged or carried forward. Procedures without a record of a covariate are left out there; what is the same for all is left out by itself."
            onChange={(keys) => { change({ ...question, adjust: covariates.filter((c) => keys.includes(c)) }); }}
          />
        ))}?
      </p>
      <Criteria question={question} change={change} endEdit={endEdit} problem={problem} models={models} />
    </section>
  );
}
