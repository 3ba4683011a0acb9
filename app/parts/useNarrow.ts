'use client';
import { useSyncExternalStore } from 'react';

const query = '(max-width: 40rem)';

const subscribe = (changed: () => void) => {
  const media = window.matchMedia(query);
  media.addEventListener('change', changed);
  return () => { media.removeEventListener('change', changed); };
};

/** Whether the page is as narrow as a phone, or enlarged until it is. */
export const useNarrow = (): boolean => useSyncExternalStore(subscribe, () => window.matchMedia(query).matches, () => false);
