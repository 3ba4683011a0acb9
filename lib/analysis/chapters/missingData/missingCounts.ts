import type { AskedCohort } from '../../askedCohort';
import type { MissingData } from '../missingDataResult';

/** Per group: how many procedures lack each covariate of the adjustment, and how many lack none. */
export function missingCounts({ groups, adjustments, cohort: { cells, group, pattern } }: AskedCohort): Pick<MissingData, 'groups' | 'covariates'> {
  const count = (holds: (pattern: number) => boolean): number[] => {
    const sums = groups.map(() => 0);
    pattern.forEach((p, i) => { if (holds(p)) sums[group[i]!]! += cells.count[i]!; });
    return sums;
  };
  const procedures = count(() => true), complete = count((p) => adjustments.every(({ codes }) => codes[p]! >= 0));
  return {
    groups: groups.map(({ key, label }, g) => ({ group: key, label, procedures: procedures[g]!, complete: complete[g]! })),
    covariates: adjustments.map(({ covariate, coding: { label }, codes }) => {
      const missing = count((p) => codes[p]! < 0);
      return { covariate, label, missing, percents: missing.map((n, g) => (100 * n) / procedures[g]!) };
    }),
  };
}
