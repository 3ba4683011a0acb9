'use client';
import { useEffect, useState } from 'react';
import type { UnitNames } from '../../lib/screening/units/unitNames';
import { useWorkbench } from '../shell/WorkbenchProvider';

/** Everyone that can be chosen in the registry that is loaded; null until it is known. */
export function useUnitNames(): UnitNames | null {
  const { worker, loaded } = useWorkbench();
  const [found, setFound] = useState<{ readonly names: UnitNames; readonly of: unknown } | null>(null);
  useEffect(() => {
    if (worker === null || loaded === null) return undefined;
    let current = true;
    void worker.unitNames().then((names) => { if (current) setFound({ names, of: loaded }); });
    return () => { current = false; };
  }, [worker, loaded]);
  return found?.of === loaded ? found.names : null;
}
