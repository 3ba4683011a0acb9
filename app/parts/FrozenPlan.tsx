'use client';
import { frozenWords } from '../../lib/reports/planning/frozenWords';
import { usePlanSession } from '../shell/PlanSession';
import { useWorkbench } from '../shell/WorkbenchProvider';

/** A plan that was frozen, above the results that it may be held against. */
export function FrozenPlan() {
  const { frozen } = usePlanSession(), { loaded } = useWorkbench();
  return frozen === null ? null : <p className="frozen">{frozenWords(frozen, loaded?.known ?? null)}</p>;
}
