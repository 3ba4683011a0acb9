'use client';
import Link from 'next/link';
import { useMemo } from 'react';
import { fromMonitoringAddress, toMonitoringAddress } from '../../lib/contract/monitoringAddress';
import { withoutUnrecorded } from '../../lib/contract/unrecorded';
import { MonitoringQuestion, type MonitoredUnit } from '../../lib/contract/monitoringQuestion';
import type { MonitoringReport, NotMonitoredReport } from '../../lib/reports/monitoring/monitoringReport';
import type { OverviewReport, OverviewView } from '../../lib/reports/monitoring/overviewReport';
import { goTo, useSearch } from '../parts/address';
import { Problems } from '../parts/Problems';
import { Unrecorded } from '../parts/Unrecorded';
import { ProgressLine } from '../parts/ProgressLine';
import type { Ask } from '../parts/useEdits';
import { useWorked, type AskWorker } from '../parts/useWorked';
import { useChosenUnit } from '../shell/ChosenUnit';
import { useUnitsSession } from '../shell/UnitsSession';
import { RegistryState } from '../shell/RegistryState';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { ChooseUnit } from '../unit/ChooseUnit';
import { ChooseModel } from './ChooseModel';
import { MonitoringAnswer } from './MonitoringAnswer';
import { MonitoringQuestionPanel } from './MonitoringQuestionPanel';
import { Reviews } from './Reviews';

interface Request { readonly question: MonitoringQuestion; readonly unit: MonitoredUnit | null; readonly view: OverviewView }

const askWorker: AskWorker<Request, MonitoringReport | OverviewReport | NotMonitoredReport> = (worker, { question, unit, view }, onProgress) =>
  (unit === null && question.model === null ? worker.monitorAll(question, view, onProgress) : worker.monitor(question, unit, onProgress));

/** The chart of the unit that is looked at or of the model in the address; where there is none, all charts. */
export function MonitoringView() {
  const search = useSearch();
  const asked = useMemo(() => fromMonitoringAddress(search), [search]);
  const { unit, choose } = useChosenUnit();
  const { names } = useUnitsSession();
  const { loaded } = useWorkbench();
  const request = useMemo((): Request | null => {
    if (asked.status === 'refused') return null;
    const { question } = asked, chosen = question.kind === 'component' ? null : unit;
    const kind = chosen?.kind ?? question.kind, ofKind: MonitoringQuestion = { ...question, kind, model: kind === 'component' ? question.model : null };
    return { question: ofKind, unit: chosen && { kind: chosen.kind, id: chosen.id }, view: { names, marked: null } };
  }, [asked, unit, names]);
  const { report, failed, progress: working } = useWorked(request, askWorker);
  if (asked.status === 'refused' || request === null) {
    return <Problems heading="This address asks nothing that can be answered" problems={asked.status === 'refused' ? asked.problems : []} after={<Link href="/monitoring/" prefetch={false}>Ask the usual question</Link>} />;
  }
  const { question } = request;
  const ask: Ask<MonitoringQuestion> = (changed, amends) => {
    const checked = MonitoringQuestion.safeParse(changed);
    if (!checked.success) return checked.error.issues.map(({ message }) => message).join('; ');
    if (unit !== null && checked.data.kind !== 'component' && checked.data.kind !== unit.kind) choose(null);
    goTo(toMonitoringAddress(checked.data), amends);
    return null;
  };
  const without = loaded === null ? null : withoutUnrecorded(question, loaded.recorded);
  const isOne = request.unit !== null || question.model !== null;
  return (
    <>
      <h1>Over time</h1>
      <MonitoringQuestionPanel question={question} ask={ask} />
      {without !== null && <Unrecorded missing={without.missing} onWithout={() => { ask(without.question, false); }} />}
      {loaded !== null && (question.kind === 'component' ? <ChooseModel question={question} ask={ask} /> : <ChooseUnit />)}
      {isOne && <Reviews question={question} ask={ask} />}
      <RegistryState />
      {failed !== null && <Problems heading="The question could not be answered" problems={[failed]} />}
      {working !== null && <ProgressLine label={working.label} fraction={working.fraction} over={report !== null} />}
      {report !== null && <MonitoringAnswer report={report} pending={working !== null} />}
    </>
  );
}
