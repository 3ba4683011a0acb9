import { standing, type FrozenPlan, type KnownData } from '../../planning/frozenPlan';
import { formatDate } from '../format';

/** What is to be said of a frozen plan beside the data that are loaded now. */
export function frozenWords(frozen: FrozenPlan, now: KnownData | null): string {
  const { plan, frozenAt, hash } = frozen;
  const fixed = `“${plan.title}” was frozen on ${formatDate(frozenAt.slice(0, 10))} by the machine’s clock (hash ${hash.slice(0, 12)}).`;
  if (now === null) return fixed;
  switch (standing(frozen, now)) {
    case 'theSameData': return `${fixed} The data that are loaded now were loaded then: results on them may have been seen before the plan was fixed.`;
    case 'beforeTheData': return `${fixed} The data that are loaded now were closed later, on ${formatDate(now.closingDate)}: the plan was fixed before them.`;
    case 'anEarlierVersion': return `${fixed} The data that are loaded now were closed on ${formatDate(now.closingDate)}: they may have been known when the plan was fixed.`;
  }
}
