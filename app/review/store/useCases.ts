'use client';
import { useSyncExternalStore } from 'react';
import { snapshot, subscribe } from './cases';
import type { Cases } from './held';

/** The cases that this tab holds; null while they are checked. */
export const useCases = (): Cases | null => useSyncExternalStore(subscribe, snapshot, () => null);
