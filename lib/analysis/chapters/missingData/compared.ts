import type { Estimate, HazardRatio } from '../../result';
import type { MissingDataComparison } from '../missingDataResult';

const worthTelling = 1.1;

const leavesOut1 = ({ lower, upper }: Estimate): boolean => lower > 1 || upper < 1;

/** Two answers to the same comparison. Where only one has an estimate they differ. */
export function compared({ level, label, estimate: one }: HazardRatio, { estimate: other }: HazardRatio): MissingDataComparison {
  const described = { group: level, label };
  if (!('value' in one) || !('value' in other)) return { ...described, shift: NaN, differ: 'value' in one !== 'value' in other };
  const shift = other.value / one.value;
  return { ...described, shift, differ: Math.max(shift, 1 / shift) > worthTelling || leavesOut1(one) !== leavesOut1(other) };
}
