'use client';
import { useState } from 'react';
import { byWords } from '../../../lib/review/entryWords';
import { checkResultLabels, checks, type CheckStep } from '../../../lib/review/checks';
import type { CaseFile } from '../../../lib/review/fold';
import { TextButton } from '../../parts/TextButton';
import { EntryForm } from './EntryForm';

/** The checks in their order: data first, practice last. */
export function ChecksPart({ file }: { readonly file: CaseFile }) {
  const [open, setOpen] = useState<CheckStep | null>(null);
  return (
    <section id="checks">
      <h2>Checks, in this order</h2>
      <p>Each waits until the one before it is recorded, or set aside with a reason.</p>
      <ol className="checks">
        {file.checks.map(({ step, records }) => (
          <li key={step} data-check={step}>
            <h3>{checks[step].label}</h3>
            <p className="help">{checks[step].asks}</p>
            {records.map((entry) => (
              <p key={entry.id} className="record"><strong>{checkResultLabels[entry.body.result]}.</strong> {entry.body.words} <span className="soft">({byWords(entry)})</span></p>
            ))}
            {open === step
              ? <EntryForm file={file} kind="check" step={step} label="Record the check" onDone={() => { setOpen(null); }} />
              : <p className="paper-none"><TextButton label={`${records.length === 0 ? 'Record' : 'Record again'}: ${checks[step].label}`} onPress={() => { setOpen(step); }}>{records.length === 0 ? 'Record' : 'Record again'}</TextButton></p>}
          </li>
        ))}
      </ol>
    </section>
  );
}
