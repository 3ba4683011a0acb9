'use client';
import * as Comlink from 'comlink';
import { createContext, useCallback, useContext, useEffect, useMemo, useRef, useState, type ReactNode } from 'react';
import { z } from 'zod';
import type { LoadedReport } from '../../lib/reports/loadedReport';
import { capital } from '../../lib/reports/phrases';
import type { MappedFiles, Progress, Workbench } from '../worker/workbench';
import { startWorker } from './startWorker';

z.config({ jitless: true }); // the page's policy forbids code made from text

const sample = { sample: { description: '/sample/extract.json', database: '/sample/extract.duckdb' } };

/** The registry that questions are asked of, and what is being loaded or was refused. */
export interface WorkbenchState {
  readonly loaded: LoadedReport | null;
  readonly isSample: boolean;
  readonly isFirst: boolean; // the sample registry is being opened, and nothing else was asked for before
  readonly given: readonly File[] | MappedFiles | 'sample'; // what the registry was loaded from
  readonly progress: Progress | null; // null: nothing is being loaded
  readonly problems: readonly string[]; // why the last load ended without a registry, or what became of the one that was loaded
  readonly canBeTried: boolean; // refused only because the memory will probably not be enough; `again` loads all the same
  readonly worker: Comlink.Remote<Workbench> | null;
  readonly load: (what: readonly File[] | MappedFiles | 'sample') => void;
  /** Ends the load that is running. The registry loaded before stays. */
  readonly cancel: () => void;
  /** Loads again what was asked for last. */
  readonly again: () => void;
}

const Context = createContext<WorkbenchState | null>(null);

export function useWorkbench(): WorkbenchState {
  const state = useContext(Context);
  if (state === null) throw new Error('useWorkbench needs a WorkbenchProvider around it');
  return state;
}

const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** Keeps one worker, and the registry in it, for as long as the site is open. */
export function WorkbenchProvider({ children }: { readonly children: ReactNode }) {
  const worker = useRef<Comlink.Remote<Workbench>>(null);
  const latest = useRef<object>(null); // the load that was asked for last
  const asked = useRef<readonly File[] | MappedFiles | 'sample'>('sample');
  const held = useRef<readonly File[] | MappedFiles | 'sample'>('sample'); // what the registry that is loaded came from
  const [state, setState] = useState<Omit<WorkbenchState, 'load' | 'cancel' | 'again'>>({ loaded: null, isSample: true, isFirst: true, given: 'sample', progress: null, problems: [], canBeTried: false, worker: null });

  const start = useCallback((what: readonly File[] | MappedFiles | 'sample', tryAnyway: boolean) => {
    const remote = worker.current;
    if (remote === null) return;
    const mine = latest.current = {};
    asked.current = what;
    const show = (part: Partial<typeof state>) => { if (mine === latest.current) setState((s) => ({ ...s, ...part })); };
    const end = (part: Partial<typeof state>) => {
      show({ ...part, isFirst: false, progress: null });
      if (mine === latest.current) latest.current = null; // progress may arrive after the end
    };
    const onProgress = Comlink.proxy((progress: Progress) => { show({ progress }); });
    show({ problems: [], canBeTried: false, ...(what !== 'sample' && { isFirst: false }), progress: { label: 'Opening the database', fraction: 0 } });
    remote.load(what === 'sample' ? sample : what, onProgress, tryAnyway).then(
      (result) => {
        if (result.status === 'loaded') {
          held.current = what;
          end({ loaded: result, isSample: what === 'sample', given: what });
        } else if (result.status === 'cancelled') end({ problems: ['Loading was cancelled.'] });
        else end({ problems: result.problems, canBeTried: result.canBeTried });
      },
      (error: unknown) => { end({ problems: [messageOf(error)] }); },
    );
  }, []);

  const cancel = useCallback(() => { void worker.current?.cancelLoad(); }, []);
  const load = useCallback((what: readonly File[] | MappedFiles | 'sample') => { start(what, false); }, [start]);
  const again = useCallback(() => { start(asked.current, state.canBeTried); }, [start, state.canBeTried]);

  useEffect(() => {
    let end = (): void => undefined;
    const begin = (): void => {
      const lost = (reason: string, part: Partial<typeof state> = {}): void => {
        if (latest.current === null) asked.current = held.current;
        latest.current = null; // a load that was running is never answered
        setState((s) => ({ ...s, ...part, loaded: null, isFirst: false, progress: null, problems: [`${reason} Nothing of the registry is left; it has to be loaded again.`] }));
      };
      const started = startWorker({
        onEnd: () => {
          begin();
          lost('The worker that held the data ended unexpectedly, most often because the memory of this machine was not enough.', { worker: worker.current });
        },
        onRegistryLost: (reason) => { lost(`${capital(reason)}.`); },
      });
      worker.current = started.remote;
      end = started.end;
    };
    begin();
    setState((s) => ({ ...s, worker: worker.current }));
    load('sample');
    return () => {
      worker.current = null;
      latest.current = null;
      end();
    };
  }, [load]);

  const value = useMemo(() => ({ ...state, load, cancel, again }), [state, load, cancel, again]);
  return <Context value={value}>{children}</Context>;
}
