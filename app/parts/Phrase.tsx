'use client';
import type { ReactNode } from 'react';
import { Dialog, DialogTrigger, Popover, Pressable } from 'react-aria-components';
import './question.css';

/** A part of the question's sentence that opens to be edited. `onOpenChange` marks where one edit begins and ends. */
export function Phrase({ label, words, onOpenChange, children }: {
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
