import type { EndPoint, StudyPlan } from '../contract/studyPlan';
import { eventChance, hazardOf } from '../stats/precision/eventChance';
import { hazardsOverall, meansOverall, proportionsOverall } from '../stats/precision/overallPower';
import { hazardsNotAbove, hazardsPower, meansNotBelow, meansPower, proportionsNotAbove, proportionsPower } from '../stats/precision/pairPower';

/** One comparison of the plan. `power` takes the numbers with the end point in all arms. */
export interface PlannedComparison {
  readonly arms: readonly number[]; // positions
  readonly alpha: number;
  readonly nothingToSee: boolean; // no difference is expected, or one at or beyond the margin
  readonly power: (n: readonly number[]) => number;
}

/** The comparisons that are to be seen, alpha shared equally between them (Bonferroni; Dunn 1961, JASA 56:52). */
export function plannedComparisons({ arms, comparisons, endPoint, alpha }: StudyPlan): readonly PlannedComparison[] {
  if (comparisons === 'overall') return [{ arms: arms.map((_, i) => i), alpha, nothingToSee: isFlat(endPoint), power: overall(endPoint, alpha) }];
  const pairs = arms.flatMap((_, j) => arms.slice(0, j).map((__, i) => [i, j] as const)).filter(([i]) => comparisons === 'everyPair' || i === 0);
  return pairs.map(([i, j]) => ({ arms: [i, j], alpha: alpha / pairs.length, ...pair(endPoint, i, j, alpha / pairs.length) }));
}

/** Chance that a procedure of an arm is seen to be revised. */
export function revisionChances({ percents, atYears, accrualYears, furtherYears, lossPercentPerYear }: EndPoint & { readonly kind: 'revision' }): readonly number[] {
  const accrual = { accrual: accrualYears, further: furtherYears, lossHazard: hazardOf(lossPercentPerYear / 100, 1) };
  return percents.map((percent) => eventChance(hazardOf(percent / 100, atYears), accrual));
}

/** Standard deviation after adjustment for the baseline, and how many degrees of freedom that costs. Borm, Fransen & Lemmens 2007, J Clin Epidemiol 60:1234. */
const adjusted = ({ sd, baselineCorrelation }: EndPoint & { readonly kind: 'mean' }) =>
  [sd * Math.sqrt(1 - baselineCorrelation ** 2), baselineCorrelation > 0 ? 1 : 0] as const;

function pair(endPoint: EndPoint, i: number, j: number, alpha: number): Pick<PlannedComparison, 'nothingToSee' | 'power'> {
  const { margin } = endPoint, of = (values: readonly number[]) => [values[i]!, values[j]!] as const;
  const at = (power: (n: readonly [number, number], alpha: number) => number) => (n: readonly number[]) => power(of(n), alpha);
  switch (endPoint.kind) {
    case 'proportion': {
      const [p, q] = of(endPoint.shares);
      return margin === null ? { nothingToSee: p === q, power: at(proportionsPower([p, q])) }
        : { nothingToSee: q - p >= margin, power: at(proportionsNotAbove([p, q], margin)) };
    }
    case 'mean': {
      const [p, q] = of(endPoint.means), [sd, covariates] = adjusted(endPoint);
      return margin === null ? { nothingToSee: p === q, power: at(meansPower(q - p, sd, covariates)) }
        : { nothingToSee: p - q >= margin, power: at(meansNotBelow(q - p, margin, sd, covariates)) };
    }
    case 'revision': {
      const [p, q] = of(endPoint.percents), chances = of(revisionChances(endPoint));
      const ratio = Math.log(hazardOf(q / 100, 1) / hazardOf(p / 100, 1));
      return margin === null ? { nothingToSee: p === q, power: at(hazardsPower(ratio, chances)) }
        : { nothingToSee: ratio >= Math.log(margin), power: at(hazardsNotAbove(ratio, margin, chances)) };
    }
  }
}

function overall(endPoint: EndPoint, alpha: number): (n: readonly number[]) => number {
  switch (endPoint.kind) {
    case 'proportion': return (n) => proportionsOverall(endPoint.shares)(n, alpha);
    case 'mean': return (n) => meansOverall(endPoint.means, ...adjusted(endPoint))(n, alpha);
    case 'revision': return (n) => hazardsOverall(endPoint.percents.map((p) => Math.log(hazardOf(p / 100, 1))), revisionChances(endPoint))(n, alpha);
  }
}

const isFlat = (endPoint: EndPoint): boolean =>
  new Set(endPoint.kind === 'proportion' ? endPoint.shares : endPoint.kind === 'mean' ? endPoint.means : endPoint.percents).size === 1;
