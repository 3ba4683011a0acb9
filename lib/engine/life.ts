/**
 * A worker that ends – terminated, crashed, out of memory – says nothing to those who wait for it. One that lives holds a lock, which is
 * handed on when it ends in any way. Where a browser has no locks (an address that is not secure), the end is not seen.
 */
const hasLocks = (): boolean => 'locks' in navigator;

/** Holds the lock for as long as this worker lives; resolves once it is held. */
export async function holdWhileAlive(lock: string): Promise<void> {
  if (!hasLocks()) return;
  await new Promise<void>((resolve, reject) => {
    navigator.locks.request(lock, () => {
      resolve();
      return new Promise<never>(() => undefined);
    }).catch(reject);
  });
}

/** Calls back when the worker that holds the lock has ended. To be asked for once the worker holds it. */
export function whenEnded(lock: string, signal: AbortSignal, onEnd: () => void): void {
  if (hasLocks()) navigator.locks.request(lock, { signal }, onEnd).catch(() => undefined); // no longer of interest
}
