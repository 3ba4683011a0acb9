import type { NotEstimable } from '../../stats/cells';
import { expectedRevisions } from '../standardisation/expectedRevisions';
import { standardisedRatio } from '../standardisation/standardisedRatio';
import type { AdjustedCells } from './caseMixModel';
import type { UnitReference } from './unitReference';
import type { UnitLine } from './unitsResult';

/** Per cell: whether the reference has its like, and what it adds to observed and expected. */
export interface CountedCells {
  readonly status: 'ok';
  readonly cells: AdjustedCells;
  readonly comparable: Uint8Array;
  readonly observed: Float64Array;
  readonly expected: Float64Array;
}

export function countedCells(cells: AdjustedCells, { hazard }: UnitReference): CountedCells | NotEstimable {
  if (hazard.status !== 'ok') return hazard;
  const { observed, expected, incomparable } = expectedRevisions(hazard, cells.cells, cells.design);
  return { status: 'ok', cells, observed, expected, comparable: incomparable.map((without) => 1 - without) };
}

/** Of one unit, or of a part of it. */
export interface UnitCount {
  readonly status: 'ok';
  readonly procedures: number; // complete and with their like in the reference
  readonly observed: number;
  readonly expected: number;
}

/** `part`: per cell, which of the parts 0 … `parts` − 1 it belongs to; a negative one belongs to none. */
export function countsByPart({ cells: { cells }, comparable, observed, expected }: CountedCells, part: Int32Array, parts: number): readonly UnitCount[] {
  const sums = Array.from({ length: parts }, () => ({ status: 'ok' as const, procedures: 0, observed: 0, expected: 0 }));
  part.forEach((p, i) => {
    const sum = sums[p];
    if (sum === undefined || comparable[i] === 0) return;
    sum.procedures += cells.count[i]!;
    sum.observed += observed[i]!;
    sum.expected += expected[i]!;
  });
  return sums;
}

/** Per unit, held against the reference. */
export function countsByUnit(cells: AdjustedCells, reference: UnitReference, units: number): readonly (UnitCount | NotEstimable)[] {
  const counted = countedCells(cells, reference);
  return counted.status === 'ok' ? countsByPart(counted, cells.unit, units) : Array.from({ length: units }, () => counted);
}

export type UnitRatioLine = Pick<UnitLine, 'id' | 'procedures' | 'leftOut' | 'standardised'>;

/** `all`: the unit's procedures in the cohort. */
export function ratioLine(id: string, all: number, count: UnitCount | NotEstimable, confidence: number): UnitRatioLine {
  if (count.status !== 'ok') return { id, procedures: 0, leftOut: all, standardised: count };
  const { procedures, observed, expected } = count;
  return {
    id, procedures, leftOut: all - procedures,
    standardised: procedures === 0
      ? { status: 'notEstimable', reason: 'none of its procedures has every covariate recorded and its like in the reference' }
      : standardisedRatio(observed, expected, confidence),
  };
}
