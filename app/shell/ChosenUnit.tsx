'use client';
import { createContext, useCallback, useContext, useMemo, useState, type ReactNode } from 'react';
import type { ChosenUnit } from '../../lib/contract/unitsQuestion';
import { useWorkbench } from './WorkbenchProvider';

interface ChosenUnitState {
  readonly unit: ChosenUnit | null;
  readonly choose: (unit: ChosenUnit | null) => void;
}

const Context = createContext<ChosenUnitState | null>(null);

/** The hospital or surgeon that is looked at. It goes along from page to page, and never into an address. */
export function useChosenUnit(): ChosenUnitState {
  const state = useContext(Context);
  if (state === null) throw new Error('useChosenUnit needs a ChosenUnitProvider around it');
  return state;
}

/** A unit belongs to the registry that it was chosen in: with another one loaded, none is chosen. */
export function ChosenUnitProvider({ children }: { readonly children: ReactNode }) {
  const { loaded } = useWorkbench();
  const [chosen, setChosen] = useState<{ readonly unit: ChosenUnit | null; readonly of: unknown }>({ unit: null, of: null });
  const choose = useCallback((unit: ChosenUnit | null) => { setChosen({ unit, of: loaded }); }, [loaded]);
  const unit = chosen.of === loaded ? chosen.unit : null;
  const value = useMemo(() => ({ unit, choose }), [unit, choose]);
  return <Context value={value}>{children}</Context>;
}
