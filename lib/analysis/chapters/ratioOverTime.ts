import type { Question } from '../../contract/question';
import type { NotEstimable } from '../../stats/cells';
import type { AskedCohort } from '../askedCohort';
import { askedModel, merged } from '../askedModel';
import { coxResult } from '../coxResult';
import type { CoxResult } from '../result';
import type { Step } from '../step';
import { basisOf, limits, stopRule } from './basis';
import { foundPeriods } from './foundPeriods';
import type { ProportionalityTest, RatioOverTime } from './ratioOverTimeResult';
import { smoothRatios } from './smoothRatios';

/** Whether one ratio for all time will do, and what to read where it will not. */
export async function ratioOverTime(asked: AskedCohort, question: Question, step: Step): Promise<RatioOverTime> {
  await step('Testing whether the ratio stays the same', 0.1);
  const fitted = askedModel(asked), others = asked.groups.filter(({ key }) => key !== asked.reference);
  if (fitted.status !== 'ok') return nothing(asked, question, fitted);
  const { adjustedFor, leftOut } = fitted, model = merged(fitted.model), described = { reference: asked.reference, adjustedFor, leftOut };
  const cox = coxResult(model, { ...described, notes: [] }, question);
  await step('Drawing the ratio over time', 0.2);
  const single = cox.status === 'ok' ? cox.ratios.slice(0, others.length) : cox;
  const smooth = smoothRatios(asked, model, single, question);
  await step('Looking for times at which the ratio changes', 0.3);
  const found = foundPeriods(model, question);
  return {
    status: 'ok',
    ...basisOf(asked, methods(question), cox.status === 'ok' ? [...notes, ...cox.notes] : notes),
    ...described,
    groupsProportional: cox.status === 'ok' && cox.groupsProportional,
    test: cox.status === 'ok' ? testOf(cox) : cox,
    single,
    found,
    smooth,
  };
}

function testOf({ proportionalHazards: tests }: CoxResult): ProportionalityTest | NotEstimable {
  if ('status' in tests) return tests;
  const test = tests.find(({ term }) => term === 'group');
  return test ? { status: 'ok', chisq: test.chisq, df: test.df, p: test.p } : { status: 'notEstimable', reason: 'no group has a ratio' };
}

const nothing = (asked: AskedCohort, question: Question, reason: NotEstimable): RatioOverTime => ({
  status: 'ok', ...basisOf(asked, methods(question)), reference: asked.reference, adjustedFor: [], leftOut: [], groupsProportional: false,
  test: reason, single: reason, found: reason, smooth: [],
});

const methods = ({ confidence, cluster, largestStep }: Question): readonly string[] => [
  `Hazard ratios: Cox 1972, ties as in Efron 1977; ${limits(confidence)}${cluster === 'none' ? ' of the model' : ` robust over each ${cluster} (Lin and Wei 1989)`}`,
  'Proportional hazards: score test from scaled Schoenfeld residuals against 1 − S (Grambsch and Therneau 1994)',
  'Times of change: the day with the largest likelihood ratio (Liang et al. 1990), further ones at half the level each (Goodman et al. 2011), level divided by the days tried; at most 2, at least 10 revisions on either side',
  `Ratio over time: natural spline with 4 degrees of freedom through scaled Schoenfeld residuals (Therneau and Grambsch 2000), pointwise ${limits(confidence)}, procedures taken for independent; ${stopRule(largestStep)}`,
];

const notes = ['Times of change were found in the same data: they are a suggestion to look into, and the limits of the ratios between them are too narrow.'];
