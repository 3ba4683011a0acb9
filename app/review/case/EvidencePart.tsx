'use client';
import { useMemo } from 'react';
import { caseProvenance, caseSourceLine } from '../../../lib/review/caseProvenance';
import { byWords } from '../../../lib/review/entryWords';
import { evidenceOf, type Written } from '../../../lib/review/fold';
import { Blocks } from '../../blocks/Blocks';
import '../../parts/answer.css';

/** What was on a page when the question was raised, as it was. */
export function EvidencePart({ entry }: { readonly entry: Written<'opened' | 'evidenceAdded'> }) {
  const { evidence, provenance } = useMemo(() => { const frozen = evidenceOf(entry); return { evidence: frozen, provenance: caseProvenance(frozen) }; }, [entry]);
  return (
    <div className="answer evidence" data-evidence={entry.id.slice(0, 8)}>
      <p className="soft">Frozen by the {byWords(entry)}</p>
      <p><strong>{evidence.question}</strong></p>
      <Blocks blocks={evidence.blocks} provenance={provenance} source={caseSourceLine(evidence)} />
      {evidence.notes.length > 0 && <ul className="notes">{evidence.notes.map((note) => <li key={note}>{note}</li>)}</ul>}
      <details>
        <summary>How these numbers were made</summary>
        <ul>{evidence.methods.map((method) => <li key={method}>{method}</li>)}</ul>
      </details>
      <p className="source">{caseSourceLine(evidence)}</p>
    </div>
  );
}
