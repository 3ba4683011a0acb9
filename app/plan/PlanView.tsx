'use client';
import { useEffect, useMemo, useState, type ReactNode } from 'react';
import { StudyPlan } from '../../lib/contract/studyPlan';
import { protocolSheet } from '../../lib/reports/planning/protocolSheet';
import type { PlanReport } from '../../lib/reports/planning/planReport';
import { Blocks } from '../blocks/Blocks';
import { usePlanSession } from '../shell/PlanSession';
import { useWorkbench } from '../shell/WorkbenchProvider';
import { ArmsFields } from './ArmsFields';
import { EndPointFields } from './EndPointFields';
import { ErrorFields } from './ErrorFields';
import { FreezePart } from './FreezePart';
import { PlanSheet } from './PlanSheet';
import { ProtocolFields } from './ProtocolFields';
import { WordsField } from '../parts/WordsField';
import '../parts/answer.css';
import './plan.css';

/** A study before it begins: what is compared, how many are needed, the sheet for paper, and the plan frozen. */
export function PlanView() {
  const { draft, setDraft, frozen } = usePlanSession();
  const { worker } = useWorkbench();
  const [sheetOpen, setSheetOpen] = useState(false);
  const checked = useMemo(() => StudyPlan.safeParse({ ...draft, measures: draft.measures.filter((measure) => measure.trim() !== '') }), [draft]);
  const plan = checked.success ? checked.data : null;
  const { report, failed } = usePlanned(plan);
  const change = (part: Partial<StudyPlan>) => { setDraft({ ...draft, ...part }); };
  const fields = { plan: draft, change };
  if (worker === null) return <h1>Plan a study</h1>; // the field for a file has a style of its own, which the page’s policy forbids in its source
  if (sheetOpen && plan !== null) return <PlanSheet sheet={protocolSheet(plan, frozenOf(plan, frozen))} onBack={() => { setSheetOpen(false); }} />;
  const problems = checked.success ? (failed === null ? [] : [failed]) : checked.error.issues.map(({ path, message }) => `${path.join(' ')}: ${message}`);
  return (
    <div className="plan answer" data-settled={report !== null || undefined}>
      <h1>Plan a study</h1>
      <p>How many procedures a comparison of two or three arms needs, the sheet to take to those who must approve it, and the plan fixed before its results are seen. Nothing of it is stored or sent; save the frozen plan as a file. The arms and numbers that stand here at first are an example and nobody’s finding: put in your own, with their source in the protocol.</p>
      <section aria-label="What is compared">
        <h2>What is compared</h2>
        <div className="fields">
          <WordsField label="Title" value={draft.title} onChange={(title) => { change({ title }); }} />
          <WordsField label="Question" long value={draft.question} onChange={(question) => { change({ question }); }} help="For whom, which implants, against what, over what time." />
          <ArmsFields {...fields} />
        </div>
      </section>
      <Part heading="End point"><EndPointFields {...fields} /></Part>
      <Part heading="How sure"><ErrorFields {...fields} /></Part>
      {problems.length > 0 && <p className="problem" role="alert">{problems.join(' ')}</p>}
      <section aria-label="How many" id="numbers">
        <h2>How many</h2>
        {report !== null && <Blocks blocks={report.blocks} provenance={plan === null ? [] : [{ label: 'Plan', text: plan.title }]} source="A plan: no data" />}
      </section>
      <Part heading="Protocol"><ProtocolFields {...fields} /></Part>
      <FreezePart plan={plan} onSheet={() => { setSheetOpen(true); }} />
    </div>
  );
}

function Part({ heading, children }: { readonly heading: string; readonly children: ReactNode }) {
  return (
    <section aria-label={heading}>
      <h2>{heading}</h2>
      <div className="fields">{children}</div>
    </section>
  );
}

/** The frozen plan, while nothing of it has been changed. */
const frozenOf = (plan: StudyPlan, frozen: ReturnType<typeof usePlanSession>['frozen']) =>
  (frozen !== null && JSON.stringify(StudyPlan.parse(plan)) === JSON.stringify(frozen.plan) ? frozen : null);

/** Worked out beside the page; the last one stays until the next is there. */
function usePlanned(plan: StudyPlan | null): { readonly report: PlanReport | null; readonly failed: string | null } {
  const { worker } = useWorkbench();
  const [state, setState] = useState<{ readonly report: PlanReport | null; readonly failed: string | null }>({ report: null, failed: null });
  useEffect(() => {
    if (worker === null || plan === null) return undefined;
    let current = true;
    worker.planned(plan).then(
      (report) => { if (current) setState({ report, failed: null }); },
      (error: unknown) => { if (current) setState({ report: null, failed: error instanceof Error ? error.message : String(error) }); },
    );
    return () => { current = false; };
  }, [worker, plan]);
  return state;
}
