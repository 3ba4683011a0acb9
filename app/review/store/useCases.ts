'use client';
import { useSyncExternalStore } from 'react';
import { snapshot, subscribe, type Cases } from './cases';

/** The cases of this browser; null while they are read. */
export const useCases = (): Cases | null => useSyncExternalStore(subscribe, snapshot, () => null);
