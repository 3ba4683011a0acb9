import { daysPerYear } from '../../cohort/days';
import type { Question } from '../../contract/question';
import { smoothedHazard } from '../../stats/smoothedHazard';
import type { AskedCohort } from '../askedCohort';
import type { GroupSurvival } from '../groupSurvival';
import type { HazardCurve } from './differenceResult';

const widest = Math.round(daysPerYear);

/** A year to either side, or a quarter of the follow-up that may be read where that is shorter. */
export const bandwidthOf = (lastDay: number): number => Math.min(widest, Math.floor(lastDay / 4));

export function hazardCurves({ groups }: AskedCohort, survival: readonly GroupSurvival[], { confidence }: Question): readonly HazardCurve[] {
  const per100 = (hazards: Float64Array) => hazards.map((hazard) => 100 * daysPerYear * hazard);
  return survival.map(({ km: { table }, stop }, g): HazardCurve => {
    const described = {
      group: groups[g]!.key, label: groups[g]!.label, procedures: table.procedures,
      events: table.events.reduce((sum, d, j) => (j <= stop.index ? sum + d : sum), 0),
    };
    const bandwidth = bandwidthOf(stop.time);
    if (bandwidth < 1) return { ...described, curve: { status: 'notEstimable', reason: 'too few at risk from the start' } };
    const smooth = smoothedHazard(table, { bandwidth, end: stop.time, confidence });
    if (smooth.status !== 'ok') return { ...described, curve: smooth };
    const { time, hazard, lower, upper, atRisk } = smooth;
    return { ...described, curve: { status: 'ok', bandwidthDays: bandwidth, days: time, per100: per100(hazard), lower: per100(lower), upper: per100(upper), atRisk } };
  });
}
