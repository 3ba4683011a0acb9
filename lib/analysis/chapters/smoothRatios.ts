import { daysOfYears } from '../../cohort/days';
import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { cox } from '../../stats/cox/cox';
import { smoothHazardRatio } from '../../stats/cox/smoothHazardRatio';
import { numberAtRisk } from '../../stats/eventTable';
import type { AskedCohort } from '../askedCohort';
import { groupSurvival } from '../groupSurvival';
import type { Model } from '../model';
import type { HazardRatio } from '../result';
import type { SmoothRatio } from './ratioOverTimeResult';

/** The ratio of every group that has one (`single`), read at whole months for as long as its curve and that of the reference may be read. */
export function smoothRatios(
  { groups, reference }: AskedCohort, { cohort, design }: Model, single: readonly HazardRatio[] | NotEstimable, question: Question,
): readonly SmoothRatio[] {
  const fit = cox(cohort.cells, design), survival = groupSurvival(cohort.cells, cohort.group, groups.map(({ key }) => key), question);
  const against = survival.find(({ group }) => group === reference)!;
  const months = Array.from({ length: 12 * question.horizonYears + 1 }, (_, month) => daysOfYears(month / 12));
  return survival.filter((own) => own !== against).map(({ group, km, stop }, column): SmoothRatio => {
    const { label } = groups.find(({ key }) => key === group)!, end = Math.min(stop.time, against.stop.time);
    if ('status' in single) return { group, label, curve: single };
    if (fit.status !== 'ok') return { group, label, curve: fit };
    const { estimate } = single[column]!;
    if (!('value' in estimate)) return { group, label, curve: estimate };
    if (stop.index < 0 || against.stop.index < 0) return { group, label, curve: { status: 'notEstimable', reason: 'too few procedures at risk from the start' } };
    const curve = smoothHazardRatio(fit, column, months.filter((day) => day <= end), question.confidence);
    if (curve.status !== 'ok') return { group, label, curve: { status: 'notEstimable', reason: curve.reason } };
    const { time, ratio, lower, upper } = curve;
    return { group, label, curve: { status: 'ok', days: time, ratio, lower, upper, atRisk: time.map((day) => numberAtRisk(km.table, day)) } };
  });
}
