import type { StudyPlan } from '../contract/studyPlan';
import type { NotEstimable } from '../stats/cells';
import { plannedComparisons, revisionChances, type PlannedComparison } from './comparisons';

export interface ComparisonPower {
  readonly arms: readonly number[]; // positions
  readonly alpha: number;
  readonly power: number | null; // 0–1; null: no difference is expected, or one at or beyond the margin
}

/** What a plan needs. Numbers are procedures. */
export interface SampleSize {
  readonly status: 'ok';
  readonly arms: readonly {
    readonly label: string;
    readonly analysed: number; // with the end point
    readonly recruited: number; // attrition allowed for
    readonly revisions: number | null; // expected to be seen; null: another end point
  }[];
  readonly analysed: number;
  readonly recruited: number;
  readonly designEffect: number; // by which clustering enlarges the numbers, at least 1
  /** With these numbers, of each comparison. */
  readonly powers: readonly ComparisonPower[];
}

const largest = 5_000_000; // procedures in the smallest arm: beyond, no registry would have them

/** The smallest numbers, in the plan's proportions, at which every comparison has the power asked for. */
export function sampleSize(plan: StudyPlan): SampleSize | NotEstimable {
  const comparisons = plannedComparisons(plan);
  const flat = comparisons.find(({ nothingToSee }) => nothingToSee);
  if (flat !== undefined) {
    return { status: 'notEstimable', reason: plan.endPoint.margin === null
      ? `no difference is expected between ${labelsOf(plan, flat)}: there is none to be seen` : `${labelsOf(plan, flat)}: what is expected lies at the margin or beyond it` };
  }
  const enough = (smallest: number): boolean => comparisons.every(({ power }) => power(effective(plan, armsOf(plan, smallest))) >= plan.power);
  if (!enough(largest)) return { status: 'notEstimable', reason: `more than ${largest.toLocaleString('en')} procedures in an arm would be needed` };
  let low = 1, high = 2;
  for (; !enough(high); high *= 2) low = high;
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return sizeOf(plan, comparisons, armsOf(plan, high));
}

/** The power of each comparison with given numbers recruited, an arm each. */
export function powersWith(plan: StudyPlan, recruited: readonly number[]): readonly ComparisonPower[] {
  const n = effective(plan, recruited.map((number) => number * (1 - plan.attritionPercent / 100)));
  return plannedComparisons(plan).map(({ arms, alpha, power, nothingToSee }) => ({ arms, alpha, power: nothingToSee ? null : power(n) }));
}

/** The power of each comparison with the numbers that can be had, in the plan’s proportions; null where none are given. */
export function powersAtHand(plan: StudyPlan): { readonly recruited: readonly number[]; readonly powers: readonly ComparisonPower[] } | null {
  if (plan.recruitable === null) return null;
  const recruited = armsOf(plan, plan.recruitable);
  return { recruited, powers: powersWith(plan, recruited) };
}

/** Kish 1965, *Survey Sampling*: 1 + (m − 1)ρ. */
export const designEffect = ({ perCluster, clusterCorrelation }: StudyPlan): number => 1 + (perCluster - 1) * clusterCorrelation;

const effective = (plan: StudyPlan, n: readonly number[]): readonly number[] => n.map((number) => number / designEffect(plan));

function armsOf({ arms }: StudyPlan, smallest: number): readonly number[] {
  const least = Math.min(...arms.map(({ weight }) => weight));
  return arms.map(({ weight }) => Math.ceil((smallest * weight) / least - 1e-9)); // thirds and tenths are not exact
}

function sizeOf(plan: StudyPlan, comparisons: readonly PlannedComparison[], analysed: readonly number[]): SampleSize {
  const recruited = analysed.map((n) => Math.ceil(n / (1 - plan.attritionPercent / 100) - 1e-9));
  const chances = plan.endPoint.kind === 'revision' ? revisionChances(plan.endPoint) : null;
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  return {
    status: 'ok',
    arms: plan.arms.map(({ label }, i) => ({ label, analysed: analysed[i]!, recruited: recruited[i]!, revisions: chances === null ? null : analysed[i]! * chances[i]! })),
    analysed: sum(analysed),
    recruited: sum(recruited),
    designEffect: designEffect(plan),
    powers: comparisons.map(({ arms, alpha, power }) => ({ arms, alpha, power: power(effective(plan, analysed)) })),
  };
}

const labelsOf = ({ arms }: StudyPlan, comparison: PlannedComparison): string => comparison.arms.map((i) => arms[i]!.label).join(' and ');
