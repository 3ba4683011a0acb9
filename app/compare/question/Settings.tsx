'use client';
import { clusterUnits, strataFactors, type Question } from '../../../lib/contract/question';
import type { ProcedurePart } from '../../../lib/contract/recorded';
import { isPartRecorded } from '../../../lib/contract/unrecorded';
import { clusterLabels, strataLabels } from '../../../lib/reports/questionWords';
import { capital } from '../../../lib/reports/phrases';
import { Checks, Choice, notRecorded, NumberEntry, NumberList } from '../../parts/fields';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import { MoreSettings } from '../../parts/MoreSettings';

/** What seldom changes: strata, clusters, times, cuts, confidence and the stop rule. */
export function Settings({ question, change, endEdit }: {
  readonly question: Question; readonly change: (question: Question) => string | null; readonly endEdit: () => void;
}) {
  const { loaded } = useWorkbench(), recorded = (part: ProcedurePart | null) => notRecorded(loaded === null || isPartRecorded(loaded.recorded, part));
  return (
    <MoreSettings endEdit={endEdit}>
      <NumberList
        label="Times in the table, years" values={question.atYears} help="Up to twelve, with commas between."
        onChange={(atYears) => change({ ...question, atYears })}
      />
      <NumberList
        label="Cuts between periods, years" values={question.cutYears} help="Up to three, ascending. Hazard ratios by period change at these times."
        onChange={(cutYears) => change({ ...question, cutYears })}
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
      <Choice
        label="Clusters" chosen={question.cluster} options={clusterUnits.map((key) => ({ key, label: capital(clusterLabels[key]), ...recorded(key === 'none' ? null : key) }))}
        help="Robust limits allow for likeness within a cluster."
        onChange={(key) => { const cluster = clusterUnits.find((unit) => unit === key); if (cluster !== undefined) change({ ...question, cluster }); }}
      />
      <Checks
        label="Strata" chosen={question.strata} options={strataFactors.filter((key) => key !== question.compare).map((key) => ({ key, label: capital(strataLabels[key]), ...recorded(key === 'period' ? null : key) }))}
        help="Each stratum has a baseline of its own; no ratio is estimated for it."
        onChange={(keys) => { change({ ...question, strata: strataFactors.filter((factor) => keys.includes(factor)) }); }}
      />
    </MoreSettings>
  );
}
