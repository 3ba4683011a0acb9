import type { StudyPlan } from '../../contract/studyPlan';
import { formatPercent } from '../format';

/** A first wording of the analysis, from what was planned. To be read and changed by the statistician. */
export function suggestedAnalysis({ endPoint, arms, comparisons, alpha, assignment, perCluster }: StudyPlan): string {
  const main = {
    proportion: 'The share with the end point is given for each arm with Wilson limits, and the difference with Newcombe’s limits (method 10).',
    mean: 'The change from before surgery is compared by least squares, adjusted for the value before surgery, with robust limits.',
    revision: 'Cumulative percent revision is given with its limits to where too few are at risk. The arms are compared by a Cox model; where hazards are not proportional, ratios by period lead.',
  }[endPoint.kind];
  return [
    main,
    ...(endPoint.margin === null ? [] : ['“Not worse” is concluded where the limit of the two-sided interval on the worse side stays within the margin.']),
    ...(arms.length > 2 && comparisons !== 'overall' ? [`The level of ${formatPercent(100 * alpha)}% is shared equally between the comparisons.`] : []),
    ...(assignment === 'observed' ? ['Adjusted for age, sex, indication and period, chosen beforehand; the unadjusted result stands beside it, and how strong something unmeasured would have to be.'] : ['Everybody is analysed in the arm that chance decided.']),
    ...(perCluster > 1 ? ['Limits allow for clusters.'] : []),
    'Missing visits are counted by arm, and the result is bounded by the best and the worst that the missing could have had. No further analysis replaces this one after results are seen; what is added is called exploratory.',
  ].join('\n');
}
