'use client';
import * as Comlink from 'comlink';
import { startTransition, useEffect, useState } from 'react';
import { useDisclosure } from '../shell/Disclosure';
import { useWorkbench } from '../shell/WorkbenchProvider';
import type { Progress, Superseded, Workbench } from '../worker/workbench';
import { useDrawn } from './useDrawn';

/** The latest result. While a newer one is worked out the one before stays, with the progress of the newer. */
export interface Worked<R> {
  readonly report: R | null;
  readonly failed: string | null;
  readonly progress: Progress | null;
}

/** Asks the worker; `onFirst` shows how the answer begins, and is done once it is drawn. To be the same function on every drawing of the page. */
export type AskWorker<Q, R> = (worker: Comlink.Remote<Workbench>, request: Q, onProgress: (progress: Progress) => void, onFirst: (report: R) => Promise<void>) => Promise<R | Superseded>;

const unseen = 500; // ms that ProgressLine.css waits before the line appears
const begun: Progress = { label: 'Working out the answer', fraction: 0 };

/** Asks whenever the request is another object, another registry is loaded, or something else may leave; null asks nothing. */
export function useWorked<Q extends object, R extends object>(request: Q | null, ask: AskWorker<Q, R>): Worked<R> {
  const { worker, loaded } = useWorkbench(), { policy } = useDisclosure();
  const [worked, setWorked] = useState<Worked<R> & { readonly to: unknown }>({ to: null, report: null, failed: null, progress: null });
  const drawn = useDrawn(worked);
  useEffect(() => {
    if (worker === null || loaded === null || request === null) return undefined;
    let current = true;
    const show = (part: Partial<Worked<R>>, to: object | null) => {
      if (!current) return;
      startTransition(() => { setWorked((before) => ({ ...before, ...part, to })); }); // drawn in pieces: the page stays free
      if (to !== null) current = false; // progress may arrive after the end
    };
    let last: Progress | null = null, isUnseen = true; // a line that does not show yet is not drawn again and again
    const timer = setTimeout(() => {
      isUnseen = false;
      if (last !== null) show({ progress: last }, null);
    }, unseen);
    const hear = (progress: Progress) => {
      last = progress;
      if (!isUnseen) show({ progress }, null);
    };
    ask(worker, request, Comlink.proxy(hear), async (report) => {
      if (!current) return;
      show({ report, failed: null }, null);
      await drawn();
    }).then(
      (report) => { if (!isSuperseded(report)) show({ report, failed: null, progress: null }, request); },
      (error: unknown) => { show({ report: null, failed: error instanceof Error ? error.message : String(error), progress: null }, request); },
    );
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [worker, loaded, request, ask, policy, drawn]); // the worker knows the policy and protects by it
  if (loaded === null) return { ...worked, progress: null }; // whoever was asked may have ended without an answer
  return worked.to === request ? worked : { ...worked, failed: null, progress: worked.progress ?? begun };
}

const isSuperseded = (report: object): report is Superseded => 'status' in report && report.status === 'superseded';
