'use client';
import { useState } from 'react';
import { Button, FileTrigger } from 'react-aria-components';
import type { StudyPlan } from '../../lib/contract/studyPlan';
import { freeze, readFrozenPlan, type KnownData } from '../../lib/planning/frozenPlan';
import { frozenWords } from '../../lib/reports/planning/frozenWords';
import { saveFile } from '../parts/saveFile';
import { usePlanSession } from '../shell/PlanSession';
import { useWorkbench } from '../shell/WorkbenchProvider';

/** Fixes the plan, gives it out as a file, takes one in, and opens the sheet for paper. */
export function FreezePart({ plan, onSheet }: { readonly plan: StudyPlan | null; readonly onSheet: () => void }) {
  const { frozen, setFrozen, setDraft } = usePlanSession();
  const { loaded, progress } = useWorkbench();
  const [refused, setRefused] = useState<string | null>(null);
  const known: KnownData | null = loaded?.known ?? null;
  const fix = async (content: StudyPlan) => {
    const fixed = await freeze(content, known, new Date());
    setFrozen(fixed);
    saveFile('frozen-plan.json', new Blob([JSON.stringify(fixed, null, 2)], { type: 'application/json' }));
  };
  const open = async (chosen: FileList | null) => {
    const file = chosen?.[0];
    if (file === undefined) return;
    const read = await readFrozenPlan(await file.text());
    setRefused(read.status === 'refused' ? `${file.name}: ${read.reason}` : null);
    if (read.status === 'refused') return;
    setFrozen(read.frozen);
    setDraft(read.frozen.plan);
  };
  const failed = (error: unknown) => { setRefused(error instanceof Error ? error.message : String(error)); };
  return (
    <section aria-label="Freeze">
      <h2>Freeze the plan</h2>
      <p>A frozen plan is a file with a hash of what it says, the time, and which data were loaded then. It can be shown beside the results later, and a changed one is refused. The hash cannot tell who wrote it or that the machine’s clock was right: register the plan where others can see it.</p>
      <p className="actions">
        {/* not before it is known which data are there */}
        <Button className="button" isDisabled={plan === null || progress !== null} onPress={() => { if (plan !== null) fix(plan).catch(failed); }}>Freeze and save</Button>
        <FileTrigger acceptedFileTypes={['.json', 'application/json']} onSelect={(chosen) => { open(chosen).catch(failed); }}><Button className="button">Open a frozen plan</Button></FileTrigger>
        <Button className="button" isDisabled={plan === null} onPress={onSheet}>Sheet for paper</Button>
      </p>
      {refused !== null && <p className="problem" role="alert">{refused}</p>}
      {frozen !== null && <p role="status" className="frozen">{frozenWords(frozen, known)}</p>}
    </section>
  );
}
