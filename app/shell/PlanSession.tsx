'use client';
import { createContext, useContext, useMemo, useState, type ReactNode } from 'react';
import { StudyPlan } from '../../lib/contract/studyPlan';
import type { FrozenPlan } from '../../lib/planning/frozenPlan';

/** The plan that is being written, and the one that was frozen or opened last. For as long as the site is open. */
interface PlanSession {
  readonly draft: StudyPlan;
  readonly setDraft: (draft: StudyPlan) => void;
  readonly frozen: FrozenPlan | null;
  readonly setFrozen: (frozen: FrozenPlan | null) => void;
}

/** Something to begin with; its numbers are to be replaced. */
const first = StudyPlan.parse({
  plan: 1, title: 'A planned comparison', arms: [{ label: 'Short stem' }, { label: 'Standard stem' }], assignment: 'random',
  endPoint: { kind: 'proportion', shares: [0.3, 0.5] }, visits: ['before', '1y', '2y'],
});

const Context = createContext<PlanSession | null>(null);

export function usePlanSession(): PlanSession {
  const session = useContext(Context);
  if (session === null) throw new Error('usePlanSession needs a PlanSessionProvider around it');
  return session;
}

export function PlanSessionProvider({ children }: { readonly children: ReactNode }) {
  const [draft, setDraft] = useState(first);
  const [frozen, setFrozen] = useState<FrozenPlan | null>(null);
  const value = useMemo(() => ({ draft, setDraft, frozen, setFrozen }), [draft, frozen]);
  return <Context value={value}>{children}</Context>;
}
