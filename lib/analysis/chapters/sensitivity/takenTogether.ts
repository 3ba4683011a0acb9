import type { ComparedGroup } from '../../../cohort/comparison';
import type { Question } from '../../../contract/question';
import { eValue, type Frequency } from '../../../stats/eValue';
import type { AskedCohort } from '../../askedCohort';
import { groupSurvival } from '../../groupSurvival';
import type { Estimate } from '../../result';
import type { SensitivityGroup, SensitivityLine } from '../sensitivityResult';

const common = 0.15; // VanderWeele & Ding 2017, Ann Intern Med 167:268: below, an odds or hazard ratio is about a ratio of risks

/** Whether some group's percent revised at the end of its curve is so high that a hazard ratio is no ratio of risks. */
export function frequencyOf({ cohort, groups }: AskedCohort, question: Question): Frequency {
  const survival = groupSurvival(cohort.cells, cohort.group, groups.map(({ key }) => key), question);
  return survival.some(({ km, stop }) => 1 - (km.survival[stop.index] ?? 1) >= common) ? 'common' : 'rare';
}

/** What the lines say of the group whose ratio is at `place`. */
export function takenTogether({ key, label }: ComparedGroup, place: number, lines: readonly SensitivityLine[], frequency: Frequency): SensitivityGroup {
  const ratios = lines.flatMap(({ result }) => (result.status === 'ok' ? [result.ratios[place]!.estimate] : []));
  const estimates = ratios.filter((estimate): estimate is Estimate => 'value' in estimate), values = estimates.map(({ value }) => value);
  const result = lines[0]!.result, asked = result.status === 'ok' ? result.ratios[place]!.estimate : result;
  const sameSide = 'value' in asked ? estimates.filter(({ value }) => Math.sign(value - 1) === Math.sign(asked.value - 1)) : [];
  return {
    group: key, label,
    estimated: values.length,
    smallest: values.length > 0 ? Math.min(...values) : NaN,
    largest: values.length > 0 ? Math.max(...values) : NaN,
    sameSide: sameSide.length,
    clear: sameSide.filter(({ lower, upper }) => lower > 1 || upper < 1).length,
    eValue: 'value' in asked ? { status: 'ok', ...eValue(asked, frequency) } : { status: 'notEstimable', reason: asked.reason },
  };
}
