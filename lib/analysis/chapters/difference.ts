import type { Question } from '../../contract/question';
import type { AskedCohort } from '../askedCohort';
import { groupSurvival } from '../groupSurvival';
import { standardisedCohort } from '../standardisedCohort';
import type { Step } from '../step';
import { basisOf, limits, stopRule } from './basis';
import { conditionalRows } from './conditionalRows';
import { contrastsOf } from './contrasts';
import type { Difference } from './differenceResult';
import { hazardCurves } from './hazardCurves';
import { restrictedMeans } from './restrictedMeans';

/** What the groups differ by in absolute terms, and how the risk of revision goes with time since surgery. */
export async function difference(asked: AskedCohort, question: Question, step: Step): Promise<Difference> {
  const { cohort, groups, reference } = asked, { confidence, largestStep } = question;
  const survival = groupSurvival(cohort.cells, cohort.group, groups.map((group) => group.key), question);
  await step('Giving the groups one case mix', 0.2);
  const adjusted = standardisedCohort(asked, question);
  await step('Taking differences', 0.5);
  const contrasts = contrastsOf(asked, survival, adjusted, question);
  await step('Smoothing the risk over time', 0.9);
  const means = restrictedMeans(asked, survival, question), hazards = hazardCurves(asked, survival, question);
  const limit = limits(confidence), ofCompleteCases = adjusted.status === 'ok' && adjusted.leftOut.length > 0
    ? [`Adjusted differences are of the ${adjusted.procedures} procedures with every covariate recorded.`] : [];
  return {
    status: 'ok',
    ...basisOf(asked, [
      `Difference in percent revised: Kaplan and Meier 1958; ${limit} recovered from those of the two percents (Zou and Donner 2008); ${stopRule(largestStep)}`,
      `Ratio of percents: ${limit} symmetric on the log scale, by Greenwood’s formula`,
      'Test at one time: difference of log(−log S) (Klein et al. 2007)',
      ...(adjusted.status === 'ok' ? [
        `Adjusted difference and ratio: standardised to the case mix of the cohort by a Cox model with a baseline per group, adjusted for ${adjusted.adjustedFor.join(', ')} (Chang et al. 1982); ${limit} by influence functions`,
        'Procedures for one revision fewer: the inverse of the adjusted difference (Altman 1998)',
      ] : []),
      `Mean time free of revision: area under Kaplan and Meier’s curve (Royston and Parmar 2013); ${limit}, normal`,
      `Percent revised of those unrevised: 1 − S(t)/S(k); ${limit} on the scale log(−log S)`,
      `Hazard over time: kernel-smoothed increments of the Nelson–Aalen estimate, boundary kernels of Müller and Wang 1994, ${bandwidths(hazards)}; ${limit} at each time by itself, on the log scale`,
    ], ofCompleteCases),
    reference,
    contrasts,
    restrictedMean: means,
    conditional: conditionalRows(asked, survival, question),
    hazards,
  };
}

function bandwidths(hazards: Difference['hazards']): string {
  const days = [...new Set(hazards.flatMap(({ curve }) => (curve.status === 'ok' ? [curve.bandwidthDays] : [])))].sort((a, b) => a - b);
  return days.length === 0 ? 'not estimable' : `bandwidth ${days.join(', ')} days`;
}
