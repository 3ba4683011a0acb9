import { daysOfYears } from '../../../cohort/days';
import type { Question } from '../../../contract/question';
import type { NotEstimable } from '../../../stats/cells';
import type { InPieces } from '../../../stats/inPieces';
import { standardisedAt, type StandardisedAt } from '../../../stats/standardised/standardisedAt';
import { beyondHorizon } from '../../beyondHorizon';
import type { AtTime, Curve } from '../../result';
import type { StandardisedCohort } from '../../standardisedCohort';
import type { CaseMixCurves } from '../sameCaseMixResult';

/** Each group's curve as it would be with the case mix of all: read at whole months, and at the times asked for. */
export function* standardisedCurves(cohort: StandardisedCohort, question: Question): InPieces<Pick<CaseMixCurves, 'curves' | 'atTimes'>> {
  const { crude } = cohort, at = readingsOf(cohort, question);
  const last = Math.max(...crude.map(({ stop }) => stop.time));
  const months: StandardisedAt[] = [];
  for (let month = 0; month <= 12 * question.horizonYears && daysOfYears(month / 12) <= last; ++month) {
    yield;
    months.push(at(month / 12));
  }
  return { curves: crude.map((_, g) => curveThrough(months, g, crude[g]!)), atTimes: standardisedAtTimes(cohort, question) };
}

/** The same at the times asked for alone. */
export function standardisedAtTimes(cohort: StandardisedCohort, question: Question): readonly AtTime[] {
  const { horizonYears, atYears } = question, at = readingsOf(cohort, question);
  return atYears.flatMap((years) => at(years).groups.map(({ atRisk, events, estimate }, g): AtTime => {
    const { group } = cohort.crude[g]!;
    if (years > horizonYears) return { years, group, atRisk, events, estimate: beyondHorizon(horizonYears) };
    return { years, group, atRisk, events, estimate: estimate.status === 'ok' ? { value: estimate.percent, lower: estimate.lower, upper: estimate.upper } : estimate };
  }));
}

const readingsOf = ({ standardisation, crude }: StandardisedCohort, { confidence }: Question) => (years: number): StandardisedAt =>
  standardisedAt(standardisation, daysOfYears(years), { confidence, stops: crude.map(({ stop }) => stop) });

/** The group's readings for as long as it has them. */
function curveThrough(months: readonly StandardisedAt[], g: number, { group, stop }: StandardisedCohort['crude'][number]): Curve | NotEstimable {
  const read = months.flatMap(({ time, groups }) => {
    const { atRisk, estimate } = groups[g]!;
    return estimate.status === 'ok' ? [{ ...estimate, day: time, atRisk }] : [];
  });
  if (read.length === 0) {
    const first = months[0]?.groups[g]?.estimate;
    return first?.status === 'notEstimable' ? first : { status: 'notEstimable', reason: 'too few procedures at risk from the start' };
  }
  return {
    group,
    days: Float64Array.from(read, ({ day }) => day),
    percent: Float64Array.from(read, ({ percent }) => percent),
    lower: Float64Array.from(read, ({ lower }) => lower),
    upper: Float64Array.from(read, ({ upper }) => upper),
    atRisk: Float64Array.from(read, ({ atRisk }) => atRisk),
    stop: { day: stop.time, atRisk: stop.atRisk, stopped: stop.stopped },
    thinFromDay: stop.thinFrom,
  };
}
