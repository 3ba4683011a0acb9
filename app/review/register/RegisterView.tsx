'use client';
import Link from 'next/link';
import { useState } from 'react';
import type { CaseFile } from '../../../lib/review/fold';
import { isOpen, registerLine } from '../../../lib/review/register';
import { Problems } from '../../parts/Problems';
import { ConfirmButton } from '../../parts/ConfirmButton';
import { ExportButton } from '../parts/ExportButton';
import { removeAll } from '../store/cases';
import type { Cases } from '../store/held';
import { HowKept } from './HowKept';
import { ImportButton } from './ImportButton';

/** All questions that were raised, open ones first, in the order in which they were raised. */
export function RegisterView({ cases: { files, damaged, unsaved } }: { readonly cases: Cases }) {
  const [problem, setProblem] = useState<string | null>(null);
  const open = files.filter(isOpen), closed = files.filter((file) => !isOpen(file));
  return (
    <div className="review" data-settled>
      <h1>Review</h1>
      <p>The questions that were raised, what was looked at, what was said and what was decided. A flag is a question: chance, errors in the data, coding and case mix come before the implant, and practice comes last. Local governance, confidentiality and the duty to report devices apply.</p>
      <HowKept unsaved={unsaved} any={files.length > 0} />
      {damaged.map(({ id, entries, damage }) => (
        <Problems
          key={id} heading={`A case of ${entries} entries is not whole`} problems={damage.slice(0, 5).map(({ entry, rule, value }) => `Entry ${entry}: ${rule} (${value}).`)}
          after={<p>It is not shown. Importing its case file puts right what is missing or changed.</p>}
        />
      ))}
      {files.length === 0 && <p className="nothing">No question has been raised. Pages that show a unit, a component or a chart over time have a button for it; a case file can be imported here.</p>}
      {open.length > 0 && <><h2>Open</h2><Lines files={open} /></>}
      {open.length > 0 && <p className="paper-none"><Link href="/review/?print=meeting" prefetch={false}>Meeting pack of all open questions, for print</Link></p>}
      {closed.length > 0 && <><h2>Closed</h2><Lines files={closed} /></>}
      <section className="keeping">
        <h2>Keeping and sharing</h2>
        <p>Export a file after each meeting: what is kept on one machine is no substitute for it.</p>
        <div className="actions">
          <ExportButton files={files} label="Export all cases" name="cases.json" />
          <ConfirmButton label="Remove all cases" heading="Remove all cases?" confirm="Remove them" onConfirm={() => { void removeAll().then(setProblem); }} isDisabled={files.length + damaged.length === 0}>
            <p>{files.length + damaged.length} {files.length + damaged.length === 1 ? 'case' : 'cases'} with their whole history will be gone, here and among what is kept. Only an exported file brings them back.</p>
          </ConfirmButton>
          <ImportButton />
        </div>
        {problem !== null && <p className="refused" role="alert">{problem}</p>}
      </section>
    </div>
  );
}

function Lines({ files }: { readonly files: readonly CaseFile[] }) {
  return (
    <ul className="register">
      {files.map(registerLine).map(({ id, title, about, state, decision, opened, replyBy, nextLook }) => (
        <li key={id} data-case={id}>
          <p className="title"><Link href={`/review/?case=${id}`} prefetch={false}>{title}</Link></p>
          <dl>
            <div><dt>About</dt><dd>{about}</dd></div>
            <div><dt>State</dt><dd>{state}</dd></div>
            <div><dt>Raised</dt><dd>{opened}</dd></div>
            {decision !== '' && <div><dt>Decision</dt><dd>{decision}</dd></div>}
            {replyBy !== '' && <div><dt>Reply asked for by</dt><dd>{replyBy}</dd></div>}
            {nextLook !== '' && <div><dt>Next look</dt><dd>{nextLook}</dd></div>}
          </dl>
        </li>
      ))}
    </ul>
  );
}
