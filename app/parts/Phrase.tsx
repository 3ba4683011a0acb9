'use client';
import type { ReactNode } from 'react';
import { Dialog, DialogTrigger, Popover, Pressable } from 'react-aria-components';
import type { Edits } from './useEdits';
import './question.css';

/** A part of the question's sentence that opens to be edited. `onOpenChange` marks where one edit begins and ends. */
function Phrase({ label, words, onOpenChange, children }: {
  readonly label: string; readonly words: string; readonly onOpenChange: (open: boolean) => void; readonly children: ReactNode;
}) {
  return (
    <DialogTrigger onOpenChange={onOpenChange}>
      <Pressable>
        {/* a button element would not break over lines as a part of a sentence must */}
        <span role="button" className="phrase" aria-label={`${label}: ${words}`}>{words}</span>
      </Pressable>
      <Popover className="phrase-popover" placement="bottom start" offset={4}>
        <Dialog aria-label={label}>{children}</Dialog>
      </Popover>
    </DialogTrigger>
  );
}

/** Makes the parts of one sentence; what is wrong with the last change is said where it was made. */
export const phrasesOf = ({ endEdit, problem }: Pick<Edits<never>, 'endEdit' | 'problem'>) => function phrase(label: string, words: string, children: ReactNode) {
  return (
    <Phrase label={label} words={words} onOpenChange={endEdit}>
      {children}
      {problem !== null && <p className="problem" role="alert">{problem}</p>}
    </Phrase>
  );
};
