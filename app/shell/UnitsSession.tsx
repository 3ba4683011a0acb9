'use client';
import { createContext, useCallback, useContext, useMemo, useState, type ReactNode } from 'react';
import type { UnitsQuestion } from '../../lib/contract/unitsQuestion';
import { formatDate } from '../../lib/reports/format';
import { useWorkbench } from './WorkbenchProvider';

type Benchmark = NonNullable<UnitsQuestion['benchmark']>;

interface State {
  readonly names: boolean; // peers by their identifiers
  readonly seen: boolean; // results of a unit were shown
  readonly entered: { readonly benchmark: string; readonly when: string } | null;
}

/** What holds for as long as a registry is looked at, whatever page is open. */
interface UnitsSession {
  readonly names: boolean;
  readonly showNames: (names: boolean) => void;
  readonly noteSeen: () => void;
  readonly noteEntered: (benchmark: Benchmark) => void;
  /** When a benchmark was set, and whether results had been seen by then. */
  readonly whenSet: (benchmark: Benchmark | null) => string | null;
}

const begun: State = { names: false, seen: false, entered: null };
const Context = createContext<UnitsSession | null>(null);

export function useUnitsSession(): UnitsSession {
  const session = useContext(Context);
  if (session === null) throw new Error('useUnitsSession needs a UnitsSessionProvider around it');
  return session;
}

export function UnitsSessionProvider({ children }: { readonly children: ReactNode }) {
  const { loaded } = useWorkbench();
  const [kept, setKept] = useState<{ readonly state: State; readonly of: unknown }>({ state: begun, of: null });
  const state = kept.of === loaded ? kept.state : begun;
  const amend = useCallback((change: (before: State) => State) => {
    setKept((before) => ({ state: change(before.of === loaded ? before.state : begun), of: loaded }));
  }, [loaded]);
  const showNames = useCallback((names: boolean) => { amend((before) => ({ ...before, names })); }, [amend]);
  const noteSeen = useCallback(() => { amend((before) => (before.seen ? before : { ...before, seen: true })); }, [amend]);
  const noteEntered = useCallback((benchmark: Benchmark) => {
    amend((before) => ({ ...before, entered: { benchmark: JSON.stringify(benchmark), when: whenWords(new Date(), before.seen) } }));
  }, [amend]);
  const value = useMemo((): UnitsSession => ({
    names: state.names, showNames, noteSeen, noteEntered,
    whenSet: (benchmark) => (benchmark === null ? null : state.entered?.benchmark === JSON.stringify(benchmark) ? state.entered.when : 'given with the address of the page'),
  }), [state, showNames, noteSeen, noteEntered]);
  return <Context value={value}>{children}</Context>;
}

function whenWords(now: Date, seen: boolean): string {
  const iso = now.toISOString();
  return `set on ${formatDate(iso.slice(0, 10))} at ${iso.slice(11, 16)} UTC, ${seen ? 'after results of a unit had been shown' : 'before results of any unit were shown'}`;
}
