'use client';
import Link from 'next/link';
import { useSearchParams } from 'next/navigation';
import { CaseId } from '../../lib/review/entry';
import { ProgressLine } from '../parts/ProgressLine';
import { Problems } from '../parts/Problems';
import { CaseView } from './case/CaseView';
import { DossierView, MeetingView } from './documents/DocumentView';
import { LetterView } from './documents/LetterView';
import { RegisterView } from './register/RegisterView';
import { useCases } from './store/useCases';
import '../parts/dialog.css';
import './review.css';

/** The register of questions, or the one that the address names. */
export function ReviewView() {
  const search = useSearchParams(), asked = search.get('case'), print = search.get('print');
  const cases = useCases();
  if (cases === null) return <div className="review"><h1>Review</h1><ProgressLine label="Reading the case files" /></div>;
  if (asked === null) return print === 'meeting' ? <MeetingView files={cases.files} /> : <RegisterView cases={cases} />;
  const file = cases.files.find(({ id }) => id === asked);
  if (file !== undefined && print === 'dossier') return <DossierView file={file} />;
  if (file !== undefined && print === 'letter') return <LetterView key={file.id} file={file} />;
  if (file !== undefined) return <CaseView key={file.id} file={file} checkedAt={cases.checkedAt} unsaved={cases.unsaved} />;
  const problem = CaseId.safeParse(asked).success
    ? 'Cases are kept for a session only unless they are kept on this machine: unlock what is kept (page Data), or import the case file. It may also have been removed, or its history may not be whole.'
    : 'The address names no case: “case” must be the number of one, as the register links to it.';
  return <div className="review"><h1>Review</h1><Problems heading="This case is not open here" problems={[problem]} after={<Link href="/review/" prefetch={false}>All questions</Link>} /></div>;
}
