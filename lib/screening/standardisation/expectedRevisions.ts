import type { Cells, Design } from '../../stats/cells';
import { cumulativeHazardAt, relativeHazards, type ReferenceHazard } from './referenceHazard';

/** One entry per cell, all its procedures together, as far as the reference reaches: follow-up beyond it counts in neither number. */
export interface ExpectedRevisions {
  readonly observed: Float64Array;
  readonly expected: Float64Array;
  /** 1: the reference has no procedures to compare with, and both numbers are 0. */
  readonly incomparable: Uint8Array;
}

/**
 * Each procedure's expected revisions are the reference hazard of its covariates, accumulated over its own follow-up (entry, exit].
 * Berry 1983, Biometrics 39:173. Columns of `design` as in the reference's fit; without columns the patterns are not looked at.
 */
export function expectedRevisions(reference: ReferenceHazard, cells: Cells, design: Design): ExpectedRevisions {
  const size = cells.exit.length, relative = relativeHazards(reference, design);
  const observed = new Float64Array(size), expected = new Float64Array(size), incomparable = new Uint8Array(size);
  for (let i = 0; i < size; ++i) {
    const stratum = reference.strata.get(cells.stratum?.[i] ?? 0), ratio = relative[design.names.length === 0 ? 0 : design.pattern[i]!]!;
    if (stratum === undefined || Number.isNaN(ratio)) {
      incomparable[i] = 1;
      continue;
    }
    const exit = cells.exit[i]!, entry = cells.entry?.[i] ?? -Infinity, until = Math.min(exit, stratum.reach);
    if (entry >= until) continue;
    expected[i] = cells.count[i]! * ratio * (cumulativeHazardAt(stratum, until) - cumulativeHazardAt(stratum, entry));
    if (cells.event[i] === 1 && exit <= stratum.reach) observed[i] = cells.count[i]!;
  }
  return { observed, expected, incomparable };
}
