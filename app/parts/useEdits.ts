'use client';
import { useRef, useState } from 'react';

/** Asks a changed question; gives back why it can't be asked. `amends`: it is one edit with the one before. */
export type Ask<Q> = (question: Q, amends: boolean) => string | null;

export interface Edits<Q> { readonly change: (question: Q) => string | null; readonly endEdit: () => void; readonly problem: string | null }

/** Changes of a question, of which those between two ends of an edit are one step back. */
export function useEdits<Q>(ask: Ask<Q>): Edits<Q> {
  const amends = useRef(false);
  const [problem, setProblem] = useState<string | null>(null);
  const change = (changed: Q) => {
    const found = ask(changed, amends.current);
    setProblem(found);
    if (found === null) amends.current = true;
    return found;
  };
  const endEdit = () => {
    amends.current = false;
    setProblem(null);
  };
  return { change, endEdit, problem };
}
