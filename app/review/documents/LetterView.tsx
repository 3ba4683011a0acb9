'use client';
import { useEffect, useMemo, useState } from 'react';
import { Button } from 'react-aria-components';
import { letter } from '../../../lib/review/documents/letter';
import type { CaseFile } from '../../../lib/review/fold';
import { ownCasesRequest } from '../../../lib/review/ownCasesRequest';
import type { OwnCase } from '../../../lib/screening/units/unitsResult';
import { Problems } from '../../parts/Problems';
import { ProgressLine } from '../../parts/ProgressLine';
import { useWorkbench } from '../../shell/WorkbenchProvider';
import { Preview, today } from './DocumentView';
import { Sheet } from './Sheet';

/** The private letter to a unit. It holds single procedures, so nothing of it is drawn before that is confirmed. */
export function LetterView({ file }: { readonly file: CaseFile }) {
  const [confirmed, setConfirmed] = useState(false);
  const back = `/review/?case=${file.id}`;
  if (file.subject.kind === 'component') return <Preview back={back}><Problems heading="There is nobody to write to" problems={['The question is about a component and not about a unit. Raise one about the unit to ask it.']} /></Preview>;
  return confirmed ? <Confirmed file={file} back={back} /> : (
    <div className="review" data-settled>
      <h1>A private letter</h1>
      <p className="caution">The letter names the unit and lists its own procedures that were revised, one by one, under the numbers of the extract; some of its counts are small. It is for the unit alone: give it to nobody else, and do not send it by a way that others can read.</p>
      <div className="actions"><Button className="button" onPress={() => { setConfirmed(true); }}>It goes to the unit alone: show the letter</Button></div>
    </div>
  );
}

function Confirmed({ file, back }: { readonly file: CaseFile; readonly back: string }) {
  const { loaded, worker, progress } = useWorkbench();
  const [found, setFound] = useState<readonly OwnCase[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const request = useMemo(() => ownCasesRequest(file), [file]), same = loaded?.fingerprint === file.source.fingerprint;
  useEffect(() => {
    if (worker === null || request === null || !same) return undefined;
    let current = true;
    worker.casesToCheck(request.question, request.unit).then(
      (cases) => { if (current) setFound(cases); },
      (error: unknown) => { if (current) setProblem(error instanceof Error ? error.message : String(error)); },
    );
    return () => { current = false; };
  }, [worker, request, same]);
  if (request !== null && problem === null && (progress !== null || (same && found === null))) return <div className="review"><ProgressLine label="Listing the unit’s own procedures" /></div>;
  const content = letter(file, same ? found : null, today());
  const why = problem ?? (request === null ? 'what was asked does not say which procedures count' : same ? null : 'the extract that the question rests on is not loaded: load the one with its fingerprint');
  return (
    <Preview back={back}>
      {why !== null && <div className="paper-none"><Problems heading="The letter is without the list of own procedures" problems={[`${why}.`]} /></div>}
      {content !== null && <Sheet {...content} />}
    </Preview>
  );
}
