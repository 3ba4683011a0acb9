import type { Contrast, PercentContrast } from '../differenceResult';
import type { CaseMixContrast } from '../sameCaseMixResult';

/** The contrasts of one kind, time by time. */
export const caseMixContrasts = (contrasts: readonly Contrast[], kind: 'unadjusted' | 'adjusted'): readonly CaseMixContrast[] =>
  contrasts.flatMap(({ group, label, atTimes }) => atTimes.map((at): CaseMixContrast => {
    const { difference, ratio }: PercentContrast = at[kind];
    return { years: at.years, group, label, difference, ratio };
  }));
