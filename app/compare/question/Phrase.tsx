'use client';
import type { ReactNode } from 'react';
import { Button, Dialog, DialogTrigger, Popover } from 'react-aria-components';
import './question.css';

/** A part of the question's sentence that opens to be edited. `onOpenChange` marks where one edit begins and ends. */
export function Phrase({ label, words, onOpenChange, children }: {
  readonly label: string; readonly words: string; readonly onOpenChange: (open: boolean) => void; readonly children: ReactNode;
}) {
  return (
    <DialogTrigger onOpenChange={onOpenChange}>
      <Button className="phrase" aria-label={`${label}: ${words}`}>{words}</Button>
      <Popover className="phrase-popover" placement="bottom start" offset={4}>
        <Dialog aria-label={label}>{children}</Dialog>
      </Popover>
    </DialogTrigger>
  );
}
