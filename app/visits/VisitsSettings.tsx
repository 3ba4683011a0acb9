'use client';
import { clusterUnits } from '../../lib/contract/question';
import type { VisitsQuestion } from '../../lib/contract/visitsQuestion';
import { capital } from '../../lib/reports/phrases';
import { clusterLabels } from '../../lib/reports/questionWords';
import { Choice, NumberEntry, NumberList } from '../parts/fields';
import { MoreSettings } from '../parts/MoreSettings';
import { ImportantDifferenceForm } from './ImportantDifferenceForm';

interface Props {
  readonly question: VisitsQuestion;
  readonly change: (question: VisitsQuestion) => string | null;
  readonly endEdit: () => void;
  readonly instruments: readonly string[];
}

export function VisitsSettings({ question, change, endEdit, instruments }: Props) {
  return (
    <MoreSettings endEdit={endEdit}>
      <NumberList
        label="Landmarks, years since surgery" values={question.landmarkYears} help="From each, later revisions are counted in those with and without the sign by then."
        onChange={(landmarkYears) => change({ ...question, landmarkYears })}
      />
      <NumberEntry
        label="A head is out of place from, mm" value={question.headOffsetOverMm} least={0} most={40} step={0.5} isRequired help="More than this far from the ideal."
        onChange={(value) => { if (value !== null) change({ ...question, headOffsetOverMm: value }); }}
      />
      <Choice
        label="Clusters" chosen={question.cluster} options={clusterUnits.map((key) => ({ key, label: capital(clusterLabels[key]) }))} help="For limits that allow for likeness within one of them."
        onChange={(key) => { const cluster = clusterUnits.find((unit) => unit === key); if (cluster !== undefined) change({ ...question, cluster }); }}
      />
      {instruments.length > 0 && (
        <Choice
          label="Score instrument" chosen={question.instrument ?? ''} options={[{ key: '', label: 'The one that there is' }, ...instruments.map((code) => ({ key: code, label: code }))]}
          help="Totals of different instruments cannot be compared: none is shown where there are several and none is chosen." onChange={(key) => { change({ ...question, instrument: key === '' ? null : key }); }}
        />
      )}
      <NumberEntry
        label="Confidence, percent" value={100 * question.confidence} least={50} most={99.9} step={0.1} isRequired
        onChange={(value) => { if (value !== null) change({ ...question, confidence: value / 100 }); }}
      />
      <ImportantDifferenceForm set={question.importantDifference} onSet={(importantDifference) => { change({ ...question, importantDifference }); }} />
    </MoreSettings>
  );
}
