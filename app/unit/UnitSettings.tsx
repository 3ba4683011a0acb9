'use client';
import type { UnitsQuestion } from '../../lib/contract/unitsQuestion';
import { wideningLabels } from '../../lib/reports/units/unitsQuestionWords';
import { capital } from '../../lib/reports/phrases';
import { Choice, NumberEntry, NumberList } from '../parts/fields';
import { MoreSettings } from '../parts/MoreSettings';

const widenings = ['additive', 'multiplicative'] as const;
/** The rule by which a unit is asked about, and how it is reckoned. */
export function UnitSettings({ question, change, endEdit }: {
  readonly question: UnitsQuestion; readonly change: (question: UnitsQuestion) => string | null; readonly endEdit: () => void;
}) {
  return (
    <MoreSettings endEdit={endEdit}>
      <NumberEntry
        label="Asked about above which limit of the funnel, %" value={question.alarmLevel * 100} least={80} most={99.9} isRequired
        help="Widened limits. Half of what they leave out is the share of units that would be asked about with nothing behind it: 2.5% at 95."
        onChange={(value) => { if (value !== null) change({ ...question, alarmLevel: value / 100 }); }}
      />
      <NumberEntry
        label="… from which ratio of observed to expected" value={question.minimumRatio} least={1} most={10} step={0.1} isRequired
        onChange={(value) => { if (value !== null) change({ ...question, minimumRatio: value }); }}
      />
      <NumberEntry
        label="… and from how many revisions expected" value={question.minimumExpected} least={0.1} most={100} step={0.1} isRequired
        help="These conditions are this workbench’s own usual values and no standard."
        onChange={(value) => { if (value !== null) change({ ...question, minimumExpected: value }); }}
      />
      <Choice
        label="Limits are widened" chosen={question.widening} options={widenings.map((key) => ({ key, label: capital(wideningLabels[key]) }))}
        help="Where units differ by more than chance."
        onChange={(key) => { const widening = widenings.find((w) => w === key); if (widening !== undefined) change({ ...question, widening }); }}
      />
      <NumberList
        label="Times in the table, years" values={question.atYears} help="Up to twelve, with commas between."
        onChange={(atYears) => change({ ...question, atYears })}
      />
      <NumberEntry
        label="Stop rule: largest step, percentage points" value={question.largestStep * 100} least={0} most={100} isRequired
        help="Curves stop where one more revision would lower survival by more than this. 2 asks for about 50 at risk; 0 stops nothing."
        onChange={(value) => { if (value !== null) change({ ...question, largestStep: value / 100 }); }}
      />
      <NumberEntry
        label="Confidence, %" value={question.confidence * 100} least={50} most={99.9} isRequired
        onChange={(value) => { if (value !== null) change({ ...question, confidence: value / 100 }); }}
      />
    </MoreSettings>
  );
}
