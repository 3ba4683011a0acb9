'use client';
import Link from 'next/link';
import { useEffect, useMemo } from 'react';
import { fromUnitsAddress, toUnitsAddress } from '../../lib/contract/unitsAddress';
import { withoutUnrecorded } from '../../lib/contract/unrecorded';
import { UnitsQuestion, type ChosenUnit } from '../../lib/contract/unitsQuestion';
import type { UnitReport } from '../../lib/reports/units/unitReport';
import type { NoUnitsReport, UnitsReport } from '../../lib/reports/units/unitsReport';
import type { UnitsView } from '../../lib/reports/units/unitsView';
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
import { ChoosePeers, ChooseUnit } from './ChooseUnit';
import { UnitAnswer } from './UnitAnswer';
import { UnitQuestionPanel } from './UnitQuestionPanel';

interface Request { readonly question: UnitsQuestion; readonly unit: ChosenUnit | null; readonly view: UnitsView }
type Report = UnitReport | UnitsReport | NoUnitsReport;

const askWorker: AskWorker<Request, Report> = (worker, { question, unit, view }, onProgress) =>
  (unit === null ? worker.units(question, view, onProgress) : worker.unit(question, unit, view, onProgress));

export function UnitView() {
  const search = useSearch();
  const asked = useMemo(() => fromUnitsAddress(search), [search]);
  const { unit, choose } = useChosenUnit();
  const { names, whenSet, noteSeen, noteEntered } = useUnitsSession();
  const { loaded } = useWorkbench();
  const benchmarkSet = asked.status === 'ok' ? whenSet(asked.question.benchmark) : null;
  const request = useMemo((): Request | null => (asked.status === 'refused' ? null : {
    question: unit === null ? asked.question : { ...asked.question, kind: unit.kind }, unit, view: { names, marked: unit, benchmarkSet },
  }), [asked, unit, names, benchmarkSet]);
  const { report, failed, progress: working } = useWorked(request, askWorker);
  const showsUnit = report?.status === 'ok' && report.about === 'one';
  useEffect(() => { if (showsUnit) noteSeen(); }, [showsUnit, noteSeen]);
  if (asked.status === 'refused' || request === null) {
    return <Problems heading="This address asks nothing that can be answered" problems={asked.status === 'refused' ? asked.problems : []} after={<Link href="/unit/" prefetch={false}>Ask the usual question</Link>} />;
  }
  const { question } = request;
  const ask: Ask<UnitsQuestion> = (changed, amends) => {
    const checked = UnitsQuestion.safeParse(changed);
    if (!checked.success) return checked.error.issues.map(({ message }) => message).join('; ');
    if (unit !== null && checked.data.kind !== unit.kind) choose(null);
    goTo(toUnitsAddress(checked.data), amends);
    return null;
  };
  const without = loaded === null ? null : withoutUnrecorded(question, loaded.recorded);
  return (
    <>
      <h1>Our unit</h1>
      <UnitQuestionPanel question={question} ask={ask} peers={<ChoosePeers />} />
      {without !== null && <Unrecorded missing={without.missing} onWithout={() => { ask(without.question, false); }} />}
      {loaded !== null && <ChooseUnit />}
      <RegistryState />
      {failed !== null && <Problems heading="The question could not be answered" problems={[failed]} />}
      {working !== null && <ProgressLine label={working.label} fraction={working.fraction} over={report !== null} />}
      {report !== null && (
        <UnitAnswer
          report={report} pending={working !== null} question={question} unit={unit}
          setBenchmark={(benchmark) => { if (benchmark !== null) noteEntered(benchmark); ask({ ...question, benchmark }, false); }}
        />
      )}
    </>
  );
}
