import { isSmallCount } from './countTable';

/**
 * Which positions of running counts may be told: between two that are, and after the last, each count rises by nothing or by enough. Gone
 * through from the end back, since what there is in all is known from elsewhere.
 *
 * @param running one running count per kind of event, each rising, all of one length
 * @param totals what each comes to in all, at or after the last position
 */
export function toldSteps(running: readonly ArrayLike<number>[], totals: readonly number[], smallest: number): readonly number[] {
  const length = running[0]?.length ?? 0, told: number[] = [];
  let next = totals;
  for (let i = length - 1; i >= 0; --i) {
    const here = running.map((counts) => counts[i]!);
    if (here.some((count, kind) => isSmallCount(count, smallest) || isSmallCount(next[kind]! - count, smallest))) continue;
    told.push(i);
    next = here;
  }
  return told.reverse();
}
