import { atTime } from '../../analysis/atTime';
import { standardisedAtTimes } from '../../analysis/chapters/sameCaseMix/standardisedCurves';
import { coarserPatterns } from '../../analysis/coarserPatterns';
import type { CohortCells } from '../../analysis/cohortCells';
import { curveOf } from '../../analysis/curve';
import { groupSurvival, type GroupSurvival } from '../../analysis/groupSurvival';
import { riskTable } from '../../analysis/riskTable';
import { standardisedCohort } from '../../analysis/standardisedCohort';
import type { ComparedGroup } from '../../cohort/comparison';
import type { Question } from '../../contract/question';
import type { UnitCells } from './unitCells';
import type { UnitAnalysis } from './unitsResult';

/** The two groups that a unit is looked at in. */
export const sides: readonly ComparedGroup[] = [{ code: 0, key: 'unit', label: 'Unit' }, { code: 1, key: 'peers', label: 'Peers' }];

/** The same cells with two groups: the unit, by its place, and all others. */
export const bySide = (cohort: CohortCells, unit: number): CohortCells =>
  ({ ...cohort, group: cohort.group.map((u) => (u === unit ? 0 : 1)), groupOfPattern: cohort.groupOfPattern.map((u) => (u === unit ? 0 : 1)) });

export interface BesidePeers extends Pick<UnitAnalysis, 'curves' | 'riskTable' | 'atTimes' | 'adjustedAtTimes'> { readonly survival: readonly GroupSurvival[] }

/** Curves of the unit and its peers as they are, and their percents with the case mix of both together. */
export function besidePeersCurves({ all, adjustments }: UnitCells, unit: number, question: Question): BesidePeers {
  const cohort = bySide(all, unit), survival = groupSurvival(cohort.cells, cohort.group, sides.map(({ key }) => key), question);
  const adjusted = standardisedCohort(coarserPatterns({ cohort, adjustments, strata: [], groups: sides, reference: 'peers' }), question);
  return {
    survival,
    curves: survival.map((side) => curveOf(side, question)),
    riskTable: riskTable(survival, question.horizonYears),
    atTimes: question.atYears.flatMap((years) => survival.map((side) => atTime(side, years, question))),
    adjustedAtTimes: adjusted.status === 'ok' ? standardisedAtTimes(adjusted, question) : adjusted,
  };
}
