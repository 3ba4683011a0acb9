import type { Look } from '../../screening/monitoring/monitoringResult';
import { isSmall } from '../smallCounts';

/**
 * Per look, the small count of people that it would give away outside the page; 0 where none. The number to date of the last look is known from
 * elsewhere, so they are gone through from the last one back: a look may be told of if none, or enough, happened until the next that is.
 */
export function smallAtLooks(looks: readonly Pick<Look, 'observed'>[]): readonly number[] {
  const small = new Array<number>(looks.length).fill(0);
  for (let i = looks.length - 1, next: number | null = null; i >= 0; --i) {
    const { observed } = looks[i]!, since: number = next === null ? observed : next - observed;
    if (isSmall(since)) small[i] = since;
    else if (isSmall(observed)) small[i] = observed;
    else next = observed;
  }
  return small;
}
