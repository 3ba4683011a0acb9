import * as Comlink from 'comlink';
import { v4 } from 'uuid';
import { whenEnded } from '../../lib/engine/life';
import { compiledEngine } from '../worker/compiledEngine';
import type { Workbench } from '../worker/workbench';

interface Watched {
  /** The worker has ended, and not by `end`. */
  readonly onEnd: () => void;
  /** The worker lives, but the engine that held the registry has ended. */
  readonly onRegistryLost: (reason: string) => void;
}

const newThread = (): Worker => new Worker(new URL('../worker/workbench.worker.ts', import.meta.url), { type: 'module' });

// Begun with the page's scripts, before anything is drawn: a registry is seen the sooner.
const isPage = typeof window !== 'undefined';
const code = isPage ? compiledEngine().catch(() => null) : null;
let early = isPage ? newThread() : null;

/** Starts the worker that holds the registry and watches over it. */
export function startWorker({ onEnd, onRegistryLost }: Watched): { readonly remote: Comlink.Remote<Workbench>; readonly end: () => void } {
  const thread = early ?? newThread();
  early = null;
  const remote = Comlink.wrap<Workbench>(thread), lock = `workbench-${v4()}`, ended = new AbortController();
  void remote.watch(lock, Comlink.proxy(onRegistryLost)).then(() => { whenEnded(lock, ended.signal, onEnd); });
  void code?.then((module) => remote.useEngine(module));
  return {
    remote,
    end: () => {
      ended.abort();
      thread.terminate();
    },
  };
}
