import * as Comlink from 'comlink';
import { v4 } from 'uuid';
import { whenEnded } from '../../lib/engine/life';
import type { Workbench } from '../worker/workbench';

interface Watched {
  /** The worker has ended, and not by `end`. */
  readonly onEnd: () => void;
  /** The worker lives, but the engine that held the registry has ended. */
  readonly onRegistryLost: (reason: string) => void;
}

/** Starts the worker that holds the registry and watches over it. */
export function startWorker({ onEnd, onRegistryLost }: Watched): { readonly remote: Comlink.Remote<Workbench>; readonly end: () => void } {
  const thread = new Worker(new URL('../worker/workbench.worker.ts', import.meta.url), { type: 'module' });
  const remote = Comlink.wrap<Workbench>(thread), lock = `workbench-${v4()}`, ended = new AbortController();
  void remote.watch(lock, Comlink.proxy(onRegistryLost)).then(() => { whenEnded(lock, ended.signal, onEnd); });
  return {
    remote,
    end: () => {
      ended.abort();
      thread.terminate();
    },
  };
}
