'use client';
import type { ScreeningCriteria, ScreeningQuestion } from '../../lib/contract/screeningQuestion';
import type { ListedModel } from '../../lib/reports/screening/screeningReport';
import { testLabels } from '../../lib/reports/screening/screeningQuestionWords';
import { capital } from '../../lib/reports/phrases';
import { Choice, NumberEntry, NumberList } from '../parts/fields';
import { EarlierSignals } from './EarlierSignals';

const tests = ['conditional', 'poisson'] as const;
interface Props {
  readonly question: ScreeningQuestion;
  readonly change: (question: ScreeningQuestion) => string | null;
  readonly endEdit: () => void;
  readonly problem: string | null;
  readonly models: readonly ListedModel[];
}

/** What a model must meet, and which look this is: in plain view, as a run is worth no more than they are. */
export function Criteria({ question, change, endEdit, problem, models }: Props) {
  const { criteria, look } = question;
  const set = (part: Partial<ScreeningCriteria>) => { change({ ...question, criteria: { ...criteria, ...part } }); };
  return (
    <div className="criteria" onBlur={endEdit}>
      <h2>What a model must meet</h2>
      <p className="help">The usual values are this project’s own choices and no standard. Those who decide set them before results are seen; they are kept with every run and every file.</p>
      {problem !== null && <p className="problem" role="alert">{problem}</p>}
      <div className="grid">
        <NumberEntry label="Assessed from so many at risk" value={criteria.minimumAtRisk} least={0} most={100_000} step={1} isRequired onChange={(value) => { if (value !== null) set({ minimumAtRisk: value }); }} />
        <NumberEntry label="… at so many years" value={criteria.atRiskYears} least={0} most={30} isRequired onChange={(value) => { if (value !== null) set({ atRiskYears: value }); }} />
        <NumberEntry label="… and so many revisions expected" value={criteria.minimumExpected} least={0} most={1000} isRequired onChange={(value) => { if (value !== null) set({ minimumExpected: value }); }} />
        <NumberEntry label="Flagged from this ratio to the others" value={criteria.minimumRatio} least={1} most={20} isRequired onChange={(value) => { if (value !== null) set({ minimumRatio: value }); }} />
        <NumberEntry
          label="… with false flags held to, %" value={100 * criteria.falseDiscoveryRate} least={0.1} most={50} isRequired help="The share of flags expected by chance, over all models of all kinds in the run."
          onChange={(value) => { if (value !== null) set({ falseDiscoveryRate: value / 100 }); }}
        />
        <NumberEntry
          label="Confidence, %" value={100 * criteria.confidence} least={50} most={99.9} isRequired help="Of the shrunken ratio and of every ratio: its lower limit must be above 1."
          onChange={(value) => { if (value !== null) set({ confidence: value / 100 }); }}
        />
        <Choice
          label="Test" chosen={criteria.test} options={tests.map((key) => ({ key, label: capital(testLabels[key]) }))}
          onChange={(key) => { const test = tests.find((t) => t === key); if (test !== undefined) set({ test }); }}
        />
        <NumberList label="Cuts between periods, years" values={question.cutYears} help="Where the hazards are not proportional, ratios by period decide." onChange={(cutYears) => change({ ...question, cutYears })} />
        <NumberEntry
          label="Number of this look" value={look} least={1} most={1000} step={1} isRequired help="How many times these data have been looked at as they grew, this time included."
          onChange={(value) => { if (value !== null) change({ ...question, look: value }); }}
        />
      </div>
      <EarlierSignals question={question} change={change} models={models} />
    </div>
  );
}
