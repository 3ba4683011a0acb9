'use client';
import { formatDate } from '../../../lib/reports/format';
import { sourceLine } from '../../../lib/reports/provenance';
import { byWords } from '../../../lib/review/entryWords';
import type { CaseFile } from '../../../lib/review/fold';
import { awaitedReply, decisionWords, nextLookWords, stateWords } from '../../../lib/review/register';
import { useWorkbench } from '../../shell/WorkbenchProvider';

/** Where the case stands, which data it rests on, and that its history is whole. */
export function CaseFacts({ file, checkedAt }: { readonly file: CaseFile; readonly checkedAt: Date }) {
  const { loaded } = useWorkbench();
  const { source, subject, history, heads } = file, replyBy = awaitedReply(file), [first] = history;
  const same = loaded === null ? 'No extract is loaded to compare with.' : loaded.fingerprint === source.fingerprint
    ? 'The extract that is loaded is the same.' : 'Another extract is loaded: what it shows now can differ from what was frozen here.';
  const facts = [
    { label: 'About', text: subject.label },
    { label: 'State', text: stateWords(file) },
    ...(first === undefined ? [] : [{ label: 'Raised by', text: byWords(first) }]),
    ...(replyBy === null ? [] : [{ label: 'Reply asked for by', text: formatDate(replyBy) }]),
    ...(decisionWords(file) === '' ? [] : [{ label: 'Decision', text: decisionWords(file) }]),
    ...(nextLookWords(file) === '' ? [] : [{ label: 'Next look', text: nextLookWords(file) }]),
    { label: 'Data', text: `${sourceLine(source)}. ${same}` },
    {
      label: 'Integrity',
      text: `History whole: ${history.length} ${history.length === 1 ? 'entry' : 'entries'}, checked at ${checkedAt.toLocaleTimeString('en-GB')}. It ends in ${heads.map((head) => head.slice(0, 12)).join(' and ')}.`,
    },
  ];
  return <dl className="case-facts">{facts.map(({ label, text }) => <div key={label}><dt>{label}</dt><dd>{text}</dd></div>)}</dl>;
}
