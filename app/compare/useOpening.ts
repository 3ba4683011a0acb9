'use client';
import { startTransition, useEffect, useState } from 'react';
import type { FirstReport } from '../../lib/reports/firstReport';
import { usualPolicy } from '../../lib/disclosure/policy';
import { useDisclosure } from '../shell/Disclosure';
import { useWorkbench } from '../shell/WorkbenchProvider';

const asksNothing = (search: string): boolean => search === '' || search === '?';

const saved = async (): Promise<FirstReport | null> => {
  const response = await fetch('/sample/opening.json');
  return response.ok ? await response.json() as FirstReport : null;
};

// On its way before the page is drawn.
const early = typeof window !== 'undefined' && window.location.pathname === '/' && asksNothing(window.location.search) ? saved().catch(() => null) : null;

/**
 * How the answer to the opening question begins with the sample registry, as it was worked out when the site was built: what is seen until the
 * worker has it. Null where another question is asked, in another view, of another registry, or something else may leave.
 */
export function useOpening(search: string): FirstReport | null {
  const { isSample, isFirst, loaded } = useWorkbench(), { policy } = useDisclosure();
  const [report, setReport] = useState<FirstReport | null>(null);
  useEffect(() => { void early?.then((report) => { startTransition(() => { setReport(report); }); }); }, []);
  const isOfSample = loaded === null ? isFirst : isSample;
  return asksNothing(search) && isOfSample && policy === usualPolicy ? report : null;
}
