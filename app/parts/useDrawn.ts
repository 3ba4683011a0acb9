'use client';
import { useCallback, useEffect, useRef } from 'react';

/**
 * Gives what is done once the page shows a state that is set next. Work that is asked for before would take the drawing its core: the worker, the
 * engine and the page are three, and many machines have two.
 */
export function useDrawn(state: object): () => Promise<void> {
  const waiting = useRef<(() => void)[]>([]);
  useEffect(() => {
    const goOn = () => { for (const go of waiting.current.splice(0)) go(); };
    goOn();
    return goOn; // of what is not drawn any more nothing is waited for
  }, [state]);
  return useCallback(() => new Promise((resolve) => { waiting.current.push(resolve); }), []);
}
