import { daysOfYears } from '../../cohort/days';
import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { numberAtRisk } from '../../stats/eventTable';
import { restrictedMean, restrictedMeanDifference, type RestrictedMean } from '../../stats/restrictedMean';
import type { AskedCohort } from '../askedCohort';
import type { GroupSurvival } from '../groupSurvival';
import type { RestrictedMeans } from './differenceResult';

/** Of all groups to one day: the horizon, or the earliest day on which one of them may no longer be read. */
export function restrictedMeans(
  { groups, reference }: AskedCohort, survival: readonly GroupSurvival[], { horizonYears, confidence }: Question,
): RestrictedMeans | NotEstimable {
  const earliest = survival.reduce((least, s, g) => (s.stop.time < survival[least]!.stop.time ? g : least), 0);
  const horizon = daysOfYears(horizonYears), stop = survival[earliest]!.stop.time, stops = stop < horizon;
  const horizonDay = Math.min(horizon, stop);
  if (horizonDay <= 0) return { status: 'notEstimable', reason: `too few at risk from the start: ${groups[earliest]!.label}` };
  const means = survival.map((s) => restrictedMean(s.km, s.stop, horizonDay, confidence));
  const against = means[groups.findIndex((group) => group.key === reference)]!;
  return {
    status: 'ok',
    horizonDay,
    stoppedBy: stops ? groups[earliest]!.label : null,
    groups: groups.map(({ key, label }, g) => {
      const mean = means[g]!, { table } = survival[g]!.km;
      const days = mean.status === 'ok' ? { value: mean.mean, lower: mean.lower, upper: mean.upper } : mean;
      return { group: key, label, procedures: table.procedures, atRisk: numberAtRisk(table, horizonDay), days };
    }),
    differences: groups.map(({ key, label }, g) => ({ group: key, label, ...differenceOf(means[g]!, against) })).filter(({ group }) => group !== reference),
  };
}

type Difference = Pick<RestrictedMeans['differences'][number], 'days' | 'p'>;

function differenceOf(mean: RestrictedMean | NotEstimable, against: RestrictedMean | NotEstimable): Difference {
  if (mean.status !== 'ok') return { days: mean, p: NaN };
  if (against.status !== 'ok') return { days: against, p: NaN };
  const { difference, lower, upper, p } = restrictedMeanDifference(mean, against);
  return { days: { value: difference, lower, upper }, p };
}
