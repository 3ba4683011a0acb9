import { daysOfYears } from '../../cohort/days';
import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import { percentAt, type PercentAtTime, type PercentEstimate } from '../../stats/cumulativePercentRevision';
import { percentRatio } from '../../stats/percentRatio';
import { percentTest } from '../../stats/percentTest';
import { proceduresPerRevision } from '../../stats/proceduresPerRevision';
import { riskDifference } from '../../stats/riskDifference';
import { standardisedAt, type StandardisedAt } from '../../stats/standardised/standardisedAt';
import { standardisedContrast, type Contrast as Limited } from '../../stats/standardised/standardisedContrast';
import type { AskedCohort } from '../askedCohort';
import { beyondHorizon } from '../beyondHorizon';
import type { GroupSurvival } from '../groupSurvival';
import type { Estimate } from '../result';
import type { StandardisedCohort } from '../standardisedCohort';
import type { Contrast, ContrastAtTime, PercentContrast } from './differenceResult';

/** Every group less the reference at each time asked for. `survival` is of all procedures, `adjusted` of the complete cases. */
export function contrastsOf(
  { groups, reference }: AskedCohort, survival: readonly GroupSurvival[], adjusted: StandardisedCohort | NotEstimable, question: Question,
): readonly Contrast[] {
  const against = groups.findIndex((group) => group.key === reference);
  const times = question.atYears.map((years) => {
    const day = daysOfYears(years), { confidence, horizonYears } = question;
    const beyond: NotEstimable | null = years > horizonYears ? beyondHorizon(horizonYears) : null;
    const read = survival.map(({ km, stop }) => percentAt(km, stop, day, { confidence }));
    const standardised = beyond ?? (adjusted.status === 'ok'
      ? standardisedAt(adjusted.standardisation, day, { confidence, stops: adjusted.crude.map(({ stop }) => stop) })
      : adjusted);
    return { years, read: beyond ? read.map((at) => ({ ...at, estimate: beyond })) : read, standardised };
  });
  return groups.flatMap(({ key, label }, g) => (g === against ? [] : [{
    group: key,
    label,
    atTimes: times.map(({ years, read, standardised }): ContrastAtTime => {
      const one = read[g]!, other = read[against]!, adjustedContrast = adjustedAt(standardised, g, against, question);
      return {
        years,
        atRisk: { group: one.atRisk, reference: other.atRisk },
        events: { group: one.events, reference: other.events },
        unadjusted: unadjustedAt(one, other, question),
        adjusted: adjustedContrast,
        proceduresPerRevision: 'value' in adjustedContrast.difference ? proceduresPerRevision(adjustedContrast.difference) : adjustedContrast.difference,
      };
    }),
  }]));
}

function unadjustedAt({ estimate: one }: PercentAtTime, { estimate: other }: PercentAtTime, { confidence }: Question): ContrastAtTime['unadjusted'] {
  if (one.status !== 'ok') return { difference: one, ratio: one, test: one };
  if (other.status !== 'ok') return { difference: other, ratio: other, test: other };
  const ratio = percentRatio(one, other, confidence);
  return {
    difference: differenceOf(one, other),
    ratio: ratio.status === 'ok' ? { value: ratio.ratio, lower: ratio.lower, upper: ratio.upper } : ratio,
    test: percentTest([one, other]),
  };
}

function adjustedAt(at: StandardisedAt | NotEstimable, group: number, against: number, { confidence }: Question): PercentContrast {
  if ('status' in at) return { difference: at, ratio: at };
  const { difference, ratio } = standardisedContrast(at, group, against, confidence);
  return { difference: estimateOf(difference), ratio: estimateOf(ratio) };
}

const valueOf = ({ percent, lower, upper }: PercentEstimate): Estimate => ({ value: percent, lower, upper });

function estimateOf(contrast: Limited | NotEstimable): Estimate | NotEstimable {
  if (contrast.status !== 'ok') return contrast;
  const { value, lower, upper } = contrast;
  return Number.isFinite(lower) && Number.isFinite(upper) ? { value, lower, upper } : { status: 'notEstimable', reason: 'one of the groups has no limits by then' };
}

/** Limits are lacking of a percent once all are revised, and before anyone comes under observation. */
function differenceOf(one: PercentEstimate, other: PercentEstimate): Estimate | NotEstimable {
  const difference = riskDifference(valueOf(one), valueOf(other));
  if (Number.isFinite(difference.lower) && Number.isFinite(difference.upper)) return difference;
  const allRevised = one.percent === 100 || other.percent === 100;
  return { status: 'notEstimable', reason: allRevised ? 'all of one of the groups revised by then' : 'nobody of one of the groups at risk by then' };
}
