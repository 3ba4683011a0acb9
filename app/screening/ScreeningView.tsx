'use client';
import Link from 'next/link';
import { useMemo } from 'react';
import { fromScreeningAddress, toScreeningAddress } from '../../lib/contract/screeningAddress';
import { ScreeningQuestion, type ChosenComponent } from '../../lib/contract/screeningQuestion';
import type { NoScreeningReport, ScreeningReport } from '../../lib/reports/screening/screeningReport';
import { withoutUnrecorded } from '../../lib/contract/unrecorded';
import { goTo, useSearch } from '../parts/address';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import { Unrecorded } from '../parts/Unrecorded';
import type { Ask } from '../parts/useEdits';
import { useWorked, type AskWorker } from '../parts/useWorked';
import { RegistryState } from '../shell/RegistryState';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { ScreeningAnswer } from './ScreeningAnswer';
import { ScreeningQuestionPanel } from './ScreeningQuestionPanel';
import './screening.css';

const askWorker: AskWorker<ScreeningQuestion, ScreeningReport | NoScreeningReport> = (worker, question, onProgress) => worker.screening(question, onProgress);

const noModels: ScreeningReport['models'] = [];

export function ScreeningView() {
  const search = useSearch(), { loaded } = useWorkbench();
  const asked = useMemo(() => fromScreeningAddress(search), [search]);
  const key = asked.status === 'ok' ? JSON.stringify(asked.question) : null; // a chosen model makes no other question
  const question = useMemo(() => (key === null ? null : JSON.parse(key) as ScreeningQuestion), [key]);
  const { report, failed, progress: working } = useWorked(question, askWorker);
  if (asked.status === 'refused' || question === null) {
    return <Problems heading="This address asks nothing that can be answered" problems={asked.status === 'refused' ? asked.problems : []} after={<Link href="/screening/" prefetch={false}>Ask the usual question</Link>} />;
  }
  const { chosen } = asked;
  const ask: Ask<ScreeningQuestion> = (changed, amends) => {
    const checked = ScreeningQuestion.safeParse(changed);
    if (!checked.success) return checked.error.issues.map(({ message }) => message).join('; ');
    goTo(toScreeningAddress(checked.data, chosen), amends);
    return null;
  };
  const choose = (model: ChosenComponent | null) => { goTo(toScreeningAddress(question, model), false); };
  const without = loaded === null ? null : withoutUnrecorded(question, loaded.recorded);
  return (
    <>
      <h1>Screening</h1>
      <ScreeningQuestionPanel question={question} ask={ask} models={report?.status === 'ok' ? report.models : noModels} />
      {without !== null && <Unrecorded missing={without.missing} onWithout={() => { ask(without.question, false); }} />}
      <RegistryState />
      {failed !== null && <Problems heading="The question could not be answered" problems={[failed]} />}
      {working !== null && <ProgressLine label={working.label} fraction={working.fraction} over={report !== null} />}
      {report !== null && <ScreeningAnswer report={report} pending={working !== null} question={question} ask={ask} chosen={chosen} choose={choose} />}
    </>
  );
}
