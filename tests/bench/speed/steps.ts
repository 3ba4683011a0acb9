import { cohortOf, type AskedCohort } from '../../../lib/analysis/askedCohort';
import { askedGroups, cellsOfGroups, type AskedGroups } from '../../../lib/analysis/askedGroups';
import { askedModel, merged } from '../../../lib/analysis/askedModel';
import { atTime } from '../../../lib/analysis/atTime';
import { curveOf } from '../../../lib/analysis/curve';
import { groupSurvival, type GroupSurvival } from '../../../lib/analysis/groupSurvival';
import type { Model } from '../../../lib/analysis/model';
import { riskTable } from '../../../lib/analysis/riskTable';
import type { Question } from '../../../lib/contract/question';
import type { LoadedExtract } from '../../../lib/engine/loadedExtract';
import { cox, type CoxFit } from '../../../lib/stats/cox/cox';
import { proportionalHazards, type ProportionalHazardsTest } from '../../../lib/stats/cox/proportionalHazards';

// The parts of an answer one by one, as the library makes them.

const quietly = () => Promise.resolve();

async function found(extract: LoadedExtract, question: Question): Promise<AskedGroups> {
  const asked = await askedGroups(extract, question, quietly);
  if (asked.status === 'empty') throw new Error(asked.reason);
  return asked;
}

/** To cells for the curves. */
export async function reducedToGroups(extract: LoadedExtract, question: Question): Promise<GroupCells> {
  const asked = await found(extract, question);
  return { groups: asked.groups, cohort: await cellsOfGroups(asked, question) };
}

/** To cells for the models. */
export const reduced = async (extract: LoadedExtract, question: Question): Promise<AskedCohort> => cohortOf(await found(extract, question), question, 'together');

type GroupCells = Pick<AskedCohort, 'groups' | 'cohort'>;

/** The curves with their limits, the numbers at single times and the risk table. */
export function curvesOf({ cohort, groups }: GroupCells, question: Question): readonly GroupSurvival[] {
  const survival = groupSurvival(cohort.cells, cohort.group, groups.map(({ key }) => key), question);
  for (const group of survival) {
    curveOf(group, question);
    for (const years of question.atYears) atTime(group, years, question);
  }
  riskTable(survival, question.horizonYears);
  return survival;
}

export function modelOf(asked: AskedCohort): Model {
  const found = askedModel(asked);
  if (found.status !== 'ok') throw new Error(found.reason);
  return merged(found.model);
}

export function fitOf({ cohort, design }: Model): CoxFit {
  const fit = cox(cohort.cells, design);
  if (fit.status !== 'ok') throw new Error(fit.reason);
  return fit;
}

export function testOf(fit: CoxFit, { terms }: Model): ProportionalHazardsTest {
  let next = 0;
  return proportionalHazards(fit, 'km', terms.map(({ term, columns }) => ({ name: term, columns: columns.map(() => next++) })));
}
