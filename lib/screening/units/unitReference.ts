import { groupSurvival } from '../../analysis/groupSurvival';
import { mergeCells } from '../../analysis/mergeCells';
import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { cox } from '../../stats/cox/cox';
import { subset, taken } from '../../stats/subset';
import { referenceHazard, type ReferenceHazard } from '../standardisation/referenceHazard';
import type { AdjustedCells } from './caseMixModel';

/** What units are held against. */
export interface UnitReference {
  readonly hazard: ReferenceHazard | NotEstimable;
  readonly procedures: number;
  readonly observed: number; // up to `untilDay`
  readonly untilDay: number; // where its own curve stops
  readonly notes: readonly string[];
}

/**
 * Cox model by Breslow's rule on the procedures of the units that are in the reference, so that it expects of them together the revisions they had.
 * Procedures alike are joined first, over all units: the number of units does not slow it down.
 */
export function unitReference({ cells, unit, design }: AdjustedCells, isReference: (unit: number) => boolean, question: Question): UnitReference {
  const indexes = Int32Array.from(unit.keys()).filter((i) => isReference(unit[i]!));
  const oneGroup = new Int32Array(indexes.length), patterns = design.names.length === 0 ? 1 : design.values.length / design.names.length;
  const pattern = taken(design.pattern, indexes, new Int32Array(indexes.length));
  const merged = mergeCells(
    { cells: subset(cells, indexes), group: oneGroup, pattern, groupOfPattern: new Int32Array(patterns) },
    Int32Array.from({ length: patterns }, (_, p) => p),
  );
  const [curve] = groupSurvival(merged.cells, merged.group, ['reference'], question);
  const untilDay = curve!.stop.time, procedures = sum(merged.cells.count);
  const observed = merged.cells.event.reduce((total, event, i) => (event === 1 && merged.cells.exit[i]! <= untilDay ? total + merged.cells.count[i]! : total), 0);
  const none = (reason: string): UnitReference => ({ hazard: { status: 'notEstimable', reason }, procedures, observed, untilDay, notes: [] });
  if (procedures === 0) return none('there are no other procedures to compare with');
  if (curve!.stop.index < 0) return none('in the reference: too few procedures at risk from the start');
  const fit = cox(merged.cells, { ...design, pattern: merged.pattern }, { ties: 'breslow' });
  if (fit.status !== 'ok') return none(`in the reference: ${fit.reason}`);
  const unlike = fit.notEstimable.flatMap((why) => (why === null ? [] : [`${why.reason}; procedures unlike those of the reference are left out`]));
  const notes = [...fit.notes, ...unlike];
  return { hazard: referenceHazard(fit, untilDay), procedures, observed, untilDay, notes };
}

const sum = (values: Float64Array): number => values.reduce((total, v) => total + v, 0);
