'use client';
import Link from 'next/link';
import { useState } from 'react';
import type { Entry } from '../../../lib/review/entry';
import { isKind, type CaseFile } from '../../../lib/review/fold';
import { Contents } from '../../parts/Contents';
import { ExportButton } from '../parts/ExportButton';
import { HowKept } from '../register/HowKept';
import { CaseFacts } from './CaseFacts';
import { ChecksPart } from './ChecksPart';
import { ConflictPart } from './ConflictPart';
import type { Writable } from './entryFields';
import { EvidencePart } from './EvidencePart';
import { HistoryPart } from './HistoryPart';
import { WritePart, type Writing } from './WritePart';

/** One question with everything that belongs to it. */
export function CaseView({ file, checkedAt, unsaved }: { readonly file: CaseFile; readonly checkedAt: Date; readonly unsaved: number }) {
  const [writing, setWriting] = useState<Writing>({ kind: 'note', corrects: null });
  const correct = (entry: Entry) => {
    setWriting({ kind: entry.body.kind as Writable, corrects: entry });
    document.getElementById('write')?.scrollIntoView();
  };
  const frozen = [...file.history.filter(isKind('opened')), ...file.history.filter(isKind('evidenceAdded'))];
  const settled = file.conflicts.length === 0;
  return (
    <div className="review" data-settled>
      <p className="back paper-none"><Link href="/review/" prefetch={false}>All questions</Link></p>
      <h1>{file.title}</h1>
      <p className="caution">A question, not a verdict. Chance, errors in the data, coding and case mix come before performance. Confidential: for those whom local governance admits.</p>
      <HowKept unsaved={unsaved} any />
      <CaseFacts file={file} checkedAt={checkedAt} />
      <div className="actions paper-none">
        <ExportButton files={[file]} label="Export this case" name="case.json" />
        <Link href={`/review/?case=${file.id}&print=dossier`} prefetch={false}>Dossier for print</Link>
        {file.subject.kind !== 'component' && <Link href={`/review/?case=${file.id}&print=letter`} prefetch={false}>Private letter to the unit</Link>}
      </div>
      <Contents
        parts={[
          ...(settled ? [] : [{ id: 'conflict', heading: 'Two histories to settle' }]), { id: 'evidence', heading: 'What was seen' }, { id: 'checks', heading: 'Checks' },
          ...(settled ? [{ id: 'write', heading: 'Write into the history' }] : []), { id: 'history', heading: 'History' },
        ]}
      />
      {!settled && <ConflictPart file={file} />}
      <section id="evidence">
        <h2>What was seen</h2>
        {frozen.map((entry) => <EvidencePart key={entry.id} entry={entry} />)}
      </section>
      <ChecksPart file={file} />
      {settled && <WritePart file={file} writing={writing} setWriting={setWriting} />}
      <HistoryPart file={file} onCorrect={correct} />
    </div>
  );
}
