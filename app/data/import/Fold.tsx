'use client';
import { useState, type ReactNode } from 'react';

/** A part that can be folded. It opens by itself where something in it is asked, and closes only by hand: answering must not move the page away. */
export function Fold({ summary, label, startsOpen, className, name, children }: {
  readonly summary: ReactNode; readonly label?: string; readonly startsOpen: boolean; readonly className: string; readonly name?: string; readonly children: ReactNode;
}) {
  const [said, setSaid] = useState<boolean | null>(null); // by the person
  const [wasOpen, setWasOpen] = useState(startsOpen);
  if (startsOpen && !wasOpen) setWasOpen(true);
  const open = said ?? wasOpen;
  return (
    <details className={className} data-name={name} open={open} onToggle={(event) => { if (event.currentTarget.open !== open) setSaid(event.currentTarget.open); }}>
      <summary aria-label={label}>{summary}</summary>
      {children}
    </details>
  );
}
