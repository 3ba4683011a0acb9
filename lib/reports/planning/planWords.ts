import type { EndPoint, StudyPlan } from '../../contract/studyPlan';
import { formatConfidence, formatCount, formatDecimal, formatList, formatPercent, formatRatio } from '../format';
import { capital } from '../phrases';

export const armLabels = ({ arms }: StudyPlan): readonly string[] => arms.map(({ label }) => label);

/** What is expected in each arm: `30.0%`, `72.0`, `5.0% revised by 10 years`. */
export function expectedIn(endPoint: EndPoint): readonly string[] {
  switch (endPoint.kind) {
    case 'proportion': return endPoint.shares.map((share) => `${formatPercent(100 * share)}%`);
    case 'mean': return endPoint.means.map(formatDecimal);
    case 'revision': return endPoint.percents.map((percent) => `${formatPercent(percent)}% revised by ${formatDecimal(endPoint.atYears)} years`);
  }
}

/** What is compared and what would still be `not worse`, as a sentence. */
export function comparisonWords({ endPoint, comparisons, arms, alpha, power }: StudyPlan): string {
  const which = arms.length === 2 ? 'the two arms' : { everyPair: 'every pair of arms', withFirst: `${arms[0]?.label ?? ''} with each of the others`, overall: 'whether any arm differs' }[comparisons];
  const rates = `with a power of ${formatConfidence(power)}${arms.length > 2 && comparisons !== 'overall' ? ' for each comparison' : ''}, at a two-sided level of ${formatPercent(100 * alpha)}%${
    arms.length > 2 && comparisons !== 'overall' ? ' over all comparisons together, shared equally between them' : ''}`;
  return `To be seen: ${which}, ${marginWords(endPoint) ?? 'a difference in either direction'}, ${rates}.`;
}

function marginWords(endPoint: EndPoint): string | null {
  if (endPoint.margin === null) return null;
  switch (endPoint.kind) {
    case 'proportion': return `that the later arm is not worse by ${formatPercent(100 * endPoint.margin)} percentage points or more`;
    case 'mean': return `that the later arm is not worse by ${formatDecimal(endPoint.margin)} or more`;
    case 'revision': return `that the later arm’s hazard of revision is not ${formatRatio(endPoint.margin)} times as high or more`;
  }
}

/** How the numbers were made, with sources. */
export function planMethod(plan: StudyPlan): string {
  const { endPoint, arms, comparisons } = plan, parts: string[] = [];
  if (endPoint.kind === 'proportion') {
    parts.push(comparisons === 'overall' ? 'χ² test of several proportions (Lachin 1977)'
      : endPoint.margin === null ? 'normal approximation, pooled under no difference, no continuity correction (Fleiss, Levin & Paik 2003)' : 'one-sided at half the level, not pooled (Farrington & Manning 1990)');
  } else if (endPoint.kind === 'mean') {
    parts.push(comparisons === 'overall' ? 'analysis of variance, by the noncentral F' : `t-test, by the noncentral t${endPoint.margin === null ? '' : ', one-sided at half the level'}`);
    if (endPoint.baselineCorrelation > 0) parts.push('adjusted for the measurement before surgery: the standard deviation times √(1 − r²) (Borm, Fransen & Lemmens 2007)');
  } else {
    parts.push(comparisons === 'overall' ? 'log-rank test of several arms (Ahnn & Anderson 1995)' : 'log-rank test or Cox model (Schoenfeld 1983)');
    parts.push('hazards constant, even accrual, those who die or leave allowed for (Lachin & Foulkes 1986)');
  }
  if (arms.length > 2 && comparisons !== 'overall') parts.push('the level shared equally between the comparisons (Bonferroni; Dunn 1961)');
  if (plan.clusterCorrelation > 0 && plan.perCluster > 1) parts.push(`numbers times 1 + (m − 1)ρ for clusters of ${formatDecimal(plan.perCluster)} with ρ = ${formatRatio(plan.clusterCorrelation)} (Kish 1965)`);
  if (plan.attritionPercent > 0) parts.push(`${formatPercent(plan.attritionPercent)}% without the end point in the end allowed for`);
  return capital(`${parts.join('; ')}.`);
}

/** What the numbers come to, as sentences. */
export const sizeWords = (labels: readonly string[], analysed: readonly number[], recruited: number): string =>
  `${formatList(labels.map((label, i) => `${formatCount(analysed[i] ?? 0)} with ${label}`))} must reach the end point; ${formatCount(recruited)} have to be recruited.`;
