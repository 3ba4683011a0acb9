'use client';
import Link from 'next/link';
import { useCallback, useMemo } from 'react';
import { fromAddress, toAddress } from '../../lib/contract/address';
import { comparisonWithoutUnrecorded } from '../../lib/contract/unrecorded';
import { Question } from '../../lib/contract/question';
import { View } from '../../lib/contract/view';
import { goTo, useSearch } from '../parts/address';
import { ProgressLine } from '../parts/ProgressLine';
import type { Ask } from '../parts/useEdits';
import { Problems } from '../parts/Problems';
import { Unrecorded } from '../parts/Unrecorded';
import { RegistryState } from '../shell/RegistryState';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { Answer } from './Answer';
import { useChapters } from './chapters/useChapters';
import { QuestionPanel } from './question/QuestionPanel';
import { useAnswer } from './useAnswer';
import { useOpening } from './useOpening';

/** Puts a question and its view into the address; the page follows the address. */
function go(question: Question, view: View, amends: boolean) {
  goTo(toAddress(question, view), amends);
}

/** Changes what the address asks now: the same function whatever that is, so that nothing is drawn again for its sake. */
function change(to: (question: Question, view: View) => readonly [Question, View]) {
  const asked = fromAddress(window.location.search);
  if (asked.status === 'ok') go(...to(asked.question, asked.view), false);
}
const setView = (view: View) => { change((question) => [question, view]); };
const setReference = (reference: string) => { change((question, view) => [{ ...question, reference }, view]); };

const usual = View.parse({});
/** The same object for as long as it says the same. */
function useSame(view: View): View {
  const said = JSON.stringify(view);
  return useMemo(() => View.parse(JSON.parse(said)), [said]);
}

export function CompareView() {
  const search = useSearch(), { loaded } = useWorkbench();
  const asked = useMemo(() => fromAddress(search), [search]);
  const ok = asked.status === 'ok' ? asked : null;
  const view = useSame(ok?.view ?? usual), answer = useAnswer(ok), opening = useOpening(search);
  const begins = answer.failed === null && answer.report?.status !== 'ok' && answer.report?.status !== 'empty';
  const shown = (begins ? opening : null) ?? answer.report; // what the site kept of the opening question has its ratios already
  const chapters = useChapters(answer.report, ok === null ? null : view, answer.progress === null);
  // The same function while the question stands: what has not changed is not drawn again whenever progress is told.
  const ask = useCallback<Ask<Question>>((changed, amends) => {
    const checked = Question.safeParse(changed);
    if (!checked.success) return checked.error.issues.map(({ message }) => message).join('; ');
    if (ok !== null) go(checked.data, ok.view, amends);
    return null;
  }, [ok]);
  if (asked.status === 'refused') return <Problems heading="This address asks nothing that can be answered" problems={asked.problems} after={<Link href="/" prefetch={false}>Ask the opening question</Link>} />;
  const { question } = asked;
  const without = loaded === null ? null : comparisonWithoutUnrecorded(question, loaded.recorded);
  return (
    <>
      <QuestionPanel question={question} ask={ask} />
      {without !== null && <Unrecorded missing={without.missing} onWithout={() => { ask(without.question, false); }} />}
      <RegistryState />
      {answer.failed !== null && <Problems heading="The question could not be answered" problems={[answer.failed]} />}
      {answer.progress !== null && <ProgressLine label={answer.progress.label} fraction={answer.progress.fraction} over={shown !== null} />}
      {shown !== null && (
        <Answer report={shown} chapters={chapters} pending={answer.progress !== null || shown === opening} view={view} setView={setView} setReference={setReference} />
      )}
    </>
  );
}
