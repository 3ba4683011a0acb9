import type { Question } from '../contract/question';

/** The times asked for that have rows in a table: those within the horizon. Where none is, all of them, with the reason in place of numbers. */
export function timesShown({ atYears, horizonYears }: Pick<Question, 'atYears' | 'horizonYears'>): readonly number[] {
  const times = [...new Set(atYears)], within = times.filter((years) => years <= horizonYears);
  return within.length > 0 ? within : times;
}
