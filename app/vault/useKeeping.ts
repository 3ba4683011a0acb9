'use client';
import { useSyncExternalStore } from 'react';
import { snapshot, subscribe, type Keeping } from './keeping';

const before: Keeping = { kept: { status: 'looking' }, work: null, notice: null };

export const useKeeping = (): Keeping => useSyncExternalStore(subscribe, snapshot, () => before);
