import type { NotEstimable } from '../../stats/cells';
import type { CoxFit } from '../../stats/cox/cox';

/** Columns in which a procedure must have one of the combinations of values `seen` in the reference: their own effects could not be estimated. */
export interface ComparableValues { readonly columns: readonly number[]; readonly seen: ReadonlySet<string> }

/**
 * Which procedures a fit says something about although some columns have no estimate. Without variation in a column, or with its value
 * determined by others: those alike. A level without revisions: all but those of that level. A ratio without bound for any other reason
 * would make the expected number arbitrary, so then there is none.
 */
export function comparableValues({ notEstimable, state: { model: { cells, design, sets, columns } } }: CoxFit): ComparableValues[] | NotEstimable {
  const result: ComparableValues[] = [];
  for (const [j, why] of notEstimable.entries()) {
    if (why === null) continue;
    const ofRevised = why.cause === 'noEvents', among = why.cause === 'collinear' ? [j, ...why.others] : [j];
    const seen = new Set<string>();
    for (let i = 0; i < cells.exit.length; ++i) {
      if (ofRevised ? cells.event[i] !== 1 : sets.first[i]! > sets.last[i]!) continue; // never at risk when a revision happened
      const row = design.pattern[i]! * columns;
      seen.add(keyOf(design.values.subarray(row, row + columns), among));
    }
    if (why.cause === 'separated' || (among.length === 1 && seen.size > 1)) return { status: 'notEstimable', reason: `${why.reason}; leave it out of the reference or group it` };
    result.push({ columns: among, seen });
  }
  return result;
}

/** `row`: the values of one pattern, by column. */
export const isComparable = (required: readonly ComparableValues[], row: Float64Array): boolean =>
  required.every(({ columns, seen }) => seen.has(keyOf(row, columns)));

const keyOf = (row: Float64Array, columns: readonly number[]): string => columns.map((j) => row[j]!).join(' ');
