// Two tabs of one browser keep their data in one place. Whoever writes is alone; whoever reads keeps writers waiting.

const place = 'vault';

export const alone = <R>(work: () => Promise<R>): Promise<R> => navigator.locks.request(place, work);
export const besideReaders = <R>(work: () => Promise<R>): Promise<R> => navigator.locks.request(place, { mode: 'shared' }, work);
/** Does nothing where another tab is at work. */
export const aloneIfFree = (work: () => Promise<void>): Promise<void> =>
  navigator.locks.request(place, { ifAvailable: true }, async (lock): Promise<void> => { if (lock !== null) await work(); });

const patience = 3000; // ms: a tab in the background may be frozen in the middle of its work

/** Waits for others for a moment only, then goes ahead: what they write can no longer become current. */
export async function aloneSoon<R>(work: () => Promise<R>): Promise<R> {
  try {
    return await navigator.locks.request(place, { signal: AbortSignal.timeout(patience) }, work);
  } catch (error) {
    if (!(error instanceof DOMException) || error.name !== 'TimeoutError') throw error;
    return navigator.locks.request(place, { steal: true }, work);
  }
}

/** What one tab tells the others. */
export type Told = 'changed' | 'locked' | 'removing' | 'removed';

export interface Others { tell(what: Told): void }

export function others(onTold: (what: Told) => void): Others {
  const channel = new BroadcastChannel(place);
  channel.addEventListener('message', ({ data }: MessageEvent<Told>) => { onTold(data); });
  return { tell: (what) => { channel.postMessage(what); } };
}
