import type { ComparedGroup } from '../cohort/comparison';
import type { CovariateCoding } from '../cohort/covariate';
import type { Measure } from '../contract/measures';
import type { Covariate } from '../contract/question';
import { visitWindows, type VisitWindow, type VisitWindowCode } from '../contract/visitWindows';
import type { VisitsQuestion } from '../contract/visitsQuestion';
import type { VisitData } from './visitData';

/** What every part of the answer starts from. */
export interface AskedVisits {
  readonly question: VisitsQuestion;
  readonly groups: readonly ComparedGroup[];
  readonly reference: number; // position among the groups
  readonly adjustments: readonly { readonly covariate: Covariate; readonly coding: CovariateCoding }[]; // in the order of the data's covariates
  readonly data: VisitData;
  readonly windows: readonly AskedWindow[]; // asked for, with a visit
  readonly measures: readonly Measure[]; // asked for, with a value
}

export type AskedWindow = VisitWindow & { readonly code: VisitWindowCode; readonly index: number };

export const allWindows: readonly AskedWindow[] = visitWindows.map((w, index) => ({ ...w, index }));

/** The groups but the reference, each with its position. */
export const comparedGroups = ({ groups, reference }: AskedVisits): readonly (ComparedGroup & { readonly index: number })[] =>
  groups.map((g, index) => ({ ...g, index })).filter(({ index }) => index !== reference);

/** The value of a measure at a procedure's visit; NaN: no visit, or not assessed. */
export function valueAt({ data: { rowAt, visits } }: AskedVisits, measure: string, window: number, procedure: number): number {
  const row = rowAt[window]![procedure]!;
  return row < 0 ? NaN : visits.values.get(measure)![row]!;
}

/** Visits of each group that took place, and procedures of which the visit was due. */
export interface Due { readonly due: number; readonly seen: number; readonly missed: number; readonly outside: number }

export function dueAt({ data: { procedures, rowAt, visits }, groups }: AskedVisits, { index, day, from, to }: AskedWindow): readonly Due[] {
  const result = groups.map(() => ({ due: 0, seen: 0, missed: 0, outside: 0 }));
  for (let p = 0; p < procedures.size; ++p) {
    const own = result[procedures.group[p]!]!, row = rowAt[index]![p]!, on = row < 0 ? NaN : visits.day[row]!, seen = !Number.isNaN(on);
    if (seen || row >= 0 || procedures.exit[p]! >= day) ++own.due;
    if (seen) {
      ++own.seen;
      if (on < from || on > to) ++own.outside;
    } else if (row >= 0) ++own.missed;
  }
  return result;
}
