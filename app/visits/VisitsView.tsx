'use client';
import Link from 'next/link';
import { useMemo } from 'react';
import { fromVisitsAddress, toVisitsAddress } from '../../lib/contract/visitsAddress';
import { VisitsQuestion } from '../../lib/contract/visitsQuestion';
import type { NoVisitsReport, VisitsReport } from '../../lib/reports/visits/visitsReport';
import { goTo, useSearch } from '../parts/address';
import { Problems } from '../parts/Problems';
import { ProgressLine } from '../parts/ProgressLine';
import type { Ask } from '../parts/useEdits';
import { useWorked, type AskWorker } from '../parts/useWorked';
import { RegistryState } from '../shell/RegistryState';
import { VisitsAnswer } from './VisitsAnswer';
import { VisitsQuestionPanel } from './VisitsQuestionPanel';

const askWorker: AskWorker<VisitsQuestion, VisitsReport | NoVisitsReport> = (worker, question, onProgress) => worker.visits(question, onProgress);

/** Radiographs, tendon, motion and scores: what is seen before a revision, or without one. */
export function VisitsView() {
  const search = useSearch();
  const asked = useMemo(() => fromVisitsAddress(search), [search]);
  const { report, failed, progress: working } = useWorked(asked.status === 'ok' ? asked.question : null, askWorker);
  if (asked.status === 'refused') {
    return <Problems heading="This address asks nothing that can be answered" problems={asked.problems} after={<Link href="/visits/" prefetch={false}>Ask the usual question</Link>} />;
  }
  const ask: Ask<VisitsQuestion> = (changed, amends) => {
    const checked = VisitsQuestion.safeParse(changed);
    if (!checked.success) return checked.error.issues.map(({ message }) => message).join('; ');
    goTo(toVisitsAddress(checked.data), amends);
    return null;
  };
  return (
    <>
      <h1>Before revision</h1>
      <VisitsQuestionPanel question={asked.question} ask={ask} report={report?.status === 'ok' ? report : null} />
      <RegistryState />
      {failed !== null && <Problems heading="The question could not be answered" problems={[failed]} />}
      {working !== null && <ProgressLine label={working.label} fraction={working.fraction} over={report !== null} />}
      {report !== null && <VisitsAnswer report={report} pending={working !== null} />}
    </>
  );
}
