'use client';
import Link from 'next/link';
import type { ReactNode } from 'react';
import { Button } from 'react-aria-components';
import { dossier } from '../../../lib/review/documents/dossier';
import { meetingPack } from '../../../lib/review/documents/meetingPack';
import type { CaseFile } from '../../../lib/review/fold';
import { Sheet } from './Sheet';
import './documents.css';

export const today = (): string => new Date().toISOString().slice(0, 10);

/** A document on the screen as it will be on paper, with the way back and the way to the printer. */
export function Preview({ back, children }: { readonly back: string; readonly children: ReactNode }) {
  return (
    <div className="review document" data-settled>
      <div className="actions paper-none">
        <Link href={back} prefetch={false}>Back</Link>
        <Button className="button" onPress={() => { window.print(); }}>Print, or save as PDF</Button>
        <span className="help">A4. Small counts are withheld in print.</span>
      </div>
      {children}
    </div>
  );
}

export const DossierView = ({ file }: { readonly file: CaseFile }) => <Preview back={`/review/?case=${file.id}`}><Sheet {...dossier(file, today())} /></Preview>;

export const MeetingView = ({ files }: { readonly files: readonly CaseFile[] }) => (
  <Preview back="/review/">{meetingPack(files, today()).map((one, i) => <Sheet key={i} {...one} />)}</Preview>
);
