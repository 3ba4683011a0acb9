import type { EndPoint, StudyPlan } from '../contract/studyPlan';
import { powersWith, sampleSize } from './sampleSize';

/** One thing that may turn out other than planned. */
export interface Variation {
  readonly change: string;
  readonly recruited: number | null; // needed then; null: no number is enough
  readonly power: number | null; // with the planned numbers, of the comparison seen least well, 0–1; null: nothing to see
}

/** What becomes of a plan when single expectations are wrong. `recruited`: as planned, an arm each. */
export function variations(plan: StudyPlan, recruited: readonly number[]): readonly Variation[] {
  const varied = (change: string, content: StudyPlan): Variation => {
    const size = sampleSize(content), powers = powersWith(content, recruited).map(({ power }) => power);
    return { change, recruited: size.status === 'ok' ? size.recruited : null, power: powers.some((power) => power === null) ? null : Math.min(...powers.map((power) => power ?? 0)) };
  };
  const lost = Math.min(80, plan.attritionPercent + 10);
  return [
    varied('The differences are three quarters as large', { ...plan, endPoint: shrunken(plan.endPoint, 0.75) }),
    varied('The differences are half as large', { ...plan, endPoint: shrunken(plan.endPoint, 0.5) }),
    ...(plan.endPoint.kind === 'mean' ? [varied('The standard deviation is a quarter larger', { ...plan, endPoint: { ...plan.endPoint, sd: 1.25 * plan.endPoint.sd } })] : []),
    varied(`${lost}% instead of ${plan.attritionPercent}% are without the end point`, { ...plan, attritionPercent: lost }),
    ...(plan.perCluster > 1 ? [varied(`Procedures of one cluster are alike with ρ = ${Math.min(1, plan.clusterCorrelation + 0.05).toFixed(2)}`, { ...plan, clusterCorrelation: Math.min(1, plan.clusterCorrelation + 0.05) })] : []),
    varied('A power of 90% is wanted', { ...plan, power: 0.9 }),
  ];
}

/** Every arm moved towards the first, on the scale of the end point. */
function shrunken(endPoint: EndPoint, factor: number): EndPoint {
  const towards = (values: readonly number[]) => values.map((value) => values[0]! + factor * (value - values[0]!));
  switch (endPoint.kind) {
    case 'proportion': return { ...endPoint, shares: towards(endPoint.shares) };
    case 'mean': return { ...endPoint, means: towards(endPoint.means) };
    case 'revision': return { ...endPoint, percents: towards(endPoint.percents) };
  }
}
