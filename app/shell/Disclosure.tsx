'use client';
import { createContext, useCallback, useContext, useEffect, useMemo, useRef, useState, type ReactNode } from 'react';
import { littleDifferences, type Left, type LittleDifference } from '../../lib/disclosure/differencing';
import { policyInForce, putInForce, usualPolicy, type Policy } from '../../lib/disclosure/policy';
import type { Provenance } from '../../lib/reports/csv';
import { leavingOf } from '../../lib/reports/leaving';
import type { ProtectedTable } from '../../lib/reports/table';
import { CopyGuard } from './CopyGuard';
import { HeldBack } from './HeldBack';
import { useWorkbench } from './WorkbenchProvider';

/** A table, or the figure that says the same, on its way out. */
export interface Leaving {
  readonly table: ProtectedTable;
  readonly provenance: Provenance;
  readonly save: (provenance: Provenance) => void;
}

interface Held {
  readonly leaving: Leaving;
  readonly differences: readonly LittleDifference[];
  readonly earlierPolicy: Policy | null; // less strict than the one in force
}

interface Disclosure {
  readonly policy: Policy;
  readonly setPolicy: (policy: Policy) => void;
  /** Saves at once, or asks first where it would tell of few people beside what left before. */
  readonly leave: (leaving: Leaving) => void;
}

const Context = createContext<Disclosure | null>(null);

export function useDisclosure(): Disclosure {
  const disclosure = useContext(Context);
  if (disclosure === null) throw new Error('useDisclosure needs a DisclosureProvider around it');
  return disclosure;
}

/** What may leave, and what has left: for as long as the site is open, and in its memory only. */
export function DisclosureProvider({ children }: { readonly children: ReactNode }) {
  const { worker } = useWorkbench();
  const [policy, choose] = useState(usualPolicy);
  const [held, setHeld] = useState<Held | null>(null);
  const left = useRef<Left[]>([]);

  useEffect(() => { void worker?.protect(policyInForce()); }, [worker]); // a new worker knows of none
  const setPolicy = useCallback((chosen: Policy) => {
    putInForce(chosen);
    void worker?.protect(chosen); // before any question that follows
    choose(chosen);
  }, [worker]);

  const go = useCallback(({ table, provenance, save }: Leaving, more: Provenance = []) => {
    left.current.push(leavingOf(table, provenance));
    save([...provenance, ...more]);
  }, []);
  const leave = useCallback((leaving: Leaving) => {
    const by = leaving.table.policy ?? usualPolicy, differences = littleDifferences(left.current, leavingOf(leaving.table, leaving.provenance), policy);
    const earlierPolicy = by.smallest < policy.smallest || by.rounding < policy.rounding ? by : null;
    if (differences.length === 0 && earlierPolicy === null) go(leaving);
    else setHeld({ leaving, differences, earlierPolicy });
  }, [go, policy]);

  const value = useMemo(() => ({ policy, setPolicy, leave }), [policy, setPolicy, leave]);
  return (
    <Context value={value}>
      <CopyGuard />
      {children}
      {held !== null && (
        <HeldBack
          title={held.leaving.table.title} differences={held.differences} earlierPolicy={held.earlierPolicy} onClose={() => { setHeld(null); }}
          onRelease={(reason) => { setHeld(null); go(held.leaving, [{ label: 'Let out all the same', text: `${held.differences.length === 0 ? 'Protected by an earlier, less strict setting' : 'Beside a file saved before, its counts tell of few people'}. Reason: ${reason}` }]); }}
        />
      )}
    </Context>
  );
}
