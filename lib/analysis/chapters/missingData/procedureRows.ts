import { singleProcedures } from '../../../stats/imputation/singleProcedures';
import { subset, taken } from '../../../stats/subset';
import type { AskedCohort } from '../../askedCohort';

/** The cohort with a pattern for each row: a cell, or a single procedure where a covariate is not recorded, so that each can be filled in by itself. */
export function procedureRows(asked: AskedCohort): AskedCohort {
  const { cohort: { cells, group, pattern }, adjustments, strata } = asked;
  const { origin, count } = singleProcedures(cells.count, (i) => adjustments.some(({ codes }) => codes[pattern[i]!]! < 0));
  const rowsOf = (values: Int32Array) => taken(values, origin, new Int32Array(origin.length));
  const patterns = rowsOf(pattern), groups = rowsOf(group), codesOf = (codes: Int32Array) => taken(codes, patterns, new Int32Array(patterns.length));
  return {
    ...asked,
    cohort: { cells: { ...subset(cells, origin), count }, group: groups, pattern: Int32Array.from(origin.keys()), groupOfPattern: groups },
    adjustments: adjustments.map((a) => ({ ...a, codes: codesOf(a.codes) })),
    strata: strata.map((s) => ({ ...s, codes: codesOf(s.codes) })),
  };
}
