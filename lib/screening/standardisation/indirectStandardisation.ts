import type { Cells, Design, NotEstimable } from '../../stats/cells';
import { cox } from '../../stats/cox/cox';
import { indexesByGroup, subset, taken } from '../../stats/subset';
import { expectedRevisions } from './expectedRevisions';
import { referenceHazard, type ReferenceHazard } from './referenceHazard';
import { standardisedRatio, type StandardisedRatio } from './standardisedRatio';

/** One hospital or surgeon against the reference. */
export interface UnitRatio {
  readonly procedures: number;
  /** Its share of the reference procedures, 0–1. */
  readonly ownShare: number;
  /** It was left out of the reference that it is held against. */
  readonly leftOut: boolean;
  /** Procedures unlike any of the reference, and their revisions: in neither the observed nor the expected number. */
  readonly incomparable: { readonly procedures: number; readonly observed: number };
  readonly standardised: StandardisedRatio | NotEstimable;
  /** Cautions of the reference's fit. */
  readonly notes: readonly string[];
}

export interface StandardisationOptions {
  /** 1: the cell's procedures are of the reference; default all are. */
  readonly inReference?: Uint8Array;
  /** A unit with more than this share of the reference procedures, 0–1, is left out of its own reference; default 0.1. */
  readonly largestShare?: number;
  /** The reference is not used beyond this time: where its own curve stops. Default: to its longest follow-up. */
  readonly until?: number;
  readonly confidence?: number;
}

/**
 * Observed and expected revisions of each unit 0 … `units` − 1 by indirect standardisation. `unit` has an entry per cell, a negative one is in
 * no unit. The reference is a Cox fit on `design` within the cells' strata; without columns, a Nelson–Aalen estimate per stratum.
 * Berry 1983, Biometrics 39:173; Keiding 1987, Int Stat Rev 55:1. Common practice, no source: the share from which a unit is left out.
 */
export function indirectStandardisation(cells: Cells, design: Design, unit: Int32Array, units: number, options: StandardisationOptions = {}): UnitRatio[] {
  const { inReference, largestShare = 0.1, until, confidence } = options;
  if (unit.length !== cells.exit.length) throw new RangeError(`unit must have one entry per cell (${cells.exit.length}): ${unit.length}`);
  const isReference = (i: number): boolean => inReference === undefined || inReference[i] === 1;
  const fitWithout = (left: number | null): ReferenceHazard | NotEstimable => {
    const indexes = Int32Array.from(unit.keys()).filter((i) => isReference(i) && (left === null || unit[i] !== left));
    if (indexes.length === 0) return { status: 'notEstimable', reason: 'there are no other procedures to compare with' };
    const fit = cox(subset(cells, indexes), patternsAt(design, indexes), { ties: 'breslow' });
    return fit.status === 'ok' ? referenceHazard(fit, until) : { status: 'notEstimable', reason: `in the reference: ${fit.reason}` };
  };

  const total = Array.from(cells.count).reduce((sum, n, i) => sum + (isReference(i) ? n : 0), 0);
  let ofAll: ReferenceHazard | NotEstimable | null = null; // fitted once, and only if a unit needs it
  return indexesByGroup(unit, units).map((indexes, u) => {
    const own = indexes.reduce((sum, i) => sum + (isReference(i) ? cells.count[i]! : 0), 0);
    const ownShare = total === 0 ? 0 : own / total, leftOut = ownShare > largestShare;
    const reference = leftOut ? fitWithout(u) : (ofAll ??= fitWithout(null));
    return { ownShare, leftOut, ...against(reference, subset(cells, indexes), patternsAt(design, indexes), confidence) };
  });
}

const patternsAt = (design: Design, indexes: Int32Array): Design =>
  (design.names.length === 0 ? design : { ...design, pattern: taken(design.pattern, indexes, new Int32Array(indexes.length)) });

function against(reference: ReferenceHazard | NotEstimable, cells: Cells, design: Design, confidence?: number): Omit<UnitRatio, 'ownShare' | 'leftOut'> {
  const procedures = sum(cells.count), none = { procedures: 0, observed: 0 };
  if (procedures === 0) return { procedures, incomparable: none, standardised: { status: 'notEstimable', reason: 'no procedures' }, notes: [] };
  if (reference.status !== 'ok') return { procedures, incomparable: none, standardised: reference, notes: [] };
  const { observed, expected, incomparable } = expectedRevisions(reference, cells, design);
  const apart = { procedures: 0, observed: 0 };
  incomparable.forEach((without, i) => {
    if (without === 0) return;
    apart.procedures += cells.count[i]!;
    if (cells.event[i] === 1) apart.observed += cells.count[i]!;
  });
  const { fit } = reference;
  return {
    procedures,
    incomparable: apart,
    standardised: apart.procedures === procedures
      ? { status: 'notEstimable', reason: 'all its procedures are unlike any of the reference' }
      : standardisedRatio(sum(observed), sum(expected), confidence),
    notes: [...fit.notes, ...fit.notEstimable.flatMap((why) => (why === null ? [] : [why.reason]))],
  };
}

const sum = (values: Float64Array): number => values.reduce((total, v) => total + v, 0);
