'use client';
import { lookPeriods, restarts, type MonitoringQuestion } from '../../lib/contract/monitoringQuestion';
import { lookLabels, restartLabels } from '../../lib/reports/monitoring/monitoringQuestionWords';
import { capital } from '../../lib/reports/phrases';
import { Choice, DateEntry, NumberEntry } from '../parts/fields';
import { MoreSettings } from '../parts/MoreSettings';

/** From when to when, how often it is looked at, when it starts again, and how its limit is found. */
export function MonitoringSettings({ question, change, endEdit, problem }: {
  readonly question: MonitoringQuestion; readonly change: (question: MonitoringQuestion) => string | null; readonly endEdit: () => void; readonly problem: string | null;
}) {
  return (
    <MoreSettings endEdit={endEdit}>
      <DateEntry label="First day of the chart" value={question.firstDay} help="Empty: the opening of the registry or the first procedure, whichever is later." onChange={(firstDay) => { change({ ...question, firstDay }); }} />
      <DateEntry label="Last day of the chart" value={question.lastDay} help="Empty: where reporting is complete, by the next setting." onChange={(lastDay) => { change({ ...question, lastDay }); }} />
      <NumberEntry
        label="Days before the closing date that are not complete" value={question.lagDays} least={0} most={1095} step={1} isRequired help="Revisions reach a registry late; a day without its reports looks like a good one."
        onChange={(lagDays) => { if (lagDays !== null) change({ ...question, lagDays }); }}
      />
      <Choice
        label="Looked at every" chosen={question.looks} options={lookPeriods.map((key) => ({ key, label: capital(lookLabels[key]) }))} help="Looks are counted. The limit holds however often one looks."
        onChange={(key) => { const looks = lookPeriods.find((l) => l === key); if (looks !== undefined) change({ ...question, looks }); }}
      />
      <Choice
        label="The chart starts again" chosen={question.restart} options={restarts.map((key) => ({ key, label: capital(restartLabels[key]) }))}
        help="After a review: on the days that are on record below the question. All charts together start again after each signal."
        onChange={(key) => { const restart = restarts.find((r) => r === key); if (restart !== undefined) change({ ...question, restart }); }}
      />
      <NumberEntry
        label="Simulated periods" value={question.histories} least={1000} most={100_000} step={1000} isRequired help="More of them make the limit surer, and take longer."
        onChange={(histories) => { if (histories !== null) change({ ...question, histories }); }}
      />
      <NumberEntry
        label="Seed of the simulation" value={question.seed} least={1} most={2 ** 31 - 1} step={1} isRequired help="The same seed gives the same limit."
        onChange={(seed) => { if (seed !== null) change({ ...question, seed }); }}
      />
      <NumberEntry
        label="Stop rule of the reference: largest step, percentage points" value={question.largestStep * 100} least={0} most={100} isRequired
        help="Nothing is expected beyond the time at which one more revision would lower the reference’s survival by more than this."
        onChange={(value) => { if (value !== null) change({ ...question, largestStep: value / 100 }); }}
      />
      {problem !== null && <p className="problem" role="alert">{problem}</p>}
    </MoreSettings>
  );
}
