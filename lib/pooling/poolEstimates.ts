import { comparisonFactor } from '../cohort/comparison';
import type { RegistryEstimates } from '../contract/registryEstimates';
import type { NotEstimable } from '../stats/cells';
import { normalQuantile } from '../stats/distributions/normal';
import { metaAnalysis, type MetaAnalysis } from '../stats/metaAnalysis/metaAnalysis';

/** The ratios of one group against the reference, registry by registry and together. Numbers of the meta-analysis are logarithms of ratios. */
export interface PooledRatio {
  readonly group: string;
  readonly label: string;
  readonly against: string;
  readonly registries: readonly { readonly registry: string; readonly logRatio: number; readonly standardError: number; readonly ratio: number; readonly lower: number; readonly upper: number }[];
  /** Which registries have no estimate, and why. */
  readonly leftOut: readonly { readonly registry: string; readonly reason: string }[];
  readonly result: MetaAnalysis | NotEstimable;
  /** As hazard ratios: the mean of the registries and where that of one more registry would lie. */
  readonly hazardRatio: { readonly value: number; readonly lower: number; readonly upper: number } | NotEstimable;
  readonly predicted: { readonly lower: number; readonly upper: number } | NotEstimable;
  readonly notes: readonly string[];
}

/** Random-effects meta-analysis of every group's ratio. */
export function poolEstimates(files: readonly RegistryEstimates[]): readonly PooledRatio[] {
  const { question, reference } = files[0]!, { labelOf } = comparisonFactor(question), { confidence } = question;
  const groups = [...new Set([...question.groups, ...files.flatMap(({ ratios }) => ratios.map(({ group }) => group))])].filter((group) => group !== reference);
  return groups.map((group) => {
    const own = files.map(({ source: { registry }, ratios }) => ({ registry, ratio: ratios.find((ratio) => ratio.group === group) }));
    const known = own.flatMap(({ registry, ratio }) => (ratio?.status === 'ok' ? [{ registry, ...ratio }] : []));
    const leftOut = own.flatMap(({ registry, ratio }) => (ratio?.status === 'ok' ? [] : [{ registry, reason: ratio?.reason ?? 'the registry has no procedure of this group' }]));
    const result = metaAnalysis({ estimate: Float64Array.from(known, ({ logRatio }) => logRatio), standardError: Float64Array.from(known, ({ standardError }) => standardError) }, confidence);
    const mean = result.status === 'ok' ? result.randomEffects : result, prediction = result.status === 'ok' ? result.prediction : result;
    return {
      group, label: labelOf(group), against: labelOf(reference), leftOut, result,
      registries: known.map(({ registry, logRatio, standardError }) => ({ registry, logRatio, standardError, ratio: Math.exp(logRatio), ...limits(logRatio, standardError, confidence) })),
      hazardRatio: mean.status === 'ok' ? { value: Math.exp(mean.estimate), lower: Math.exp(mean.lower), upper: Math.exp(mean.upper) } : mean,
      predicted: prediction.status === 'ok' ? { lower: Math.exp(prediction.lower), upper: Math.exp(prediction.upper) } : prediction,
      notes: [
        ...(leftOut.length === 0 ? [] : ['Registries without an estimate are left out. Often these are the ones with few or no revisions, and the mean of the others is then too high or too low: pool counts where that can be done.']),
        ...known.flatMap(({ registry, ownLimits }) => (ownLimits === undefined ? [] : [`The standard error of ${registry} does not allow for ${question.cluster}s: ${ownLimits}.`])),
      ],
    };
  });
}

function limits(logRatio: number, standardError: number, confidence: number): { readonly lower: number; readonly upper: number } {
  const margin = -normalQuantile((1 - confidence) / 2) * standardError;
  return { lower: Math.exp(logRatio - margin), upper: Math.exp(logRatio + margin) };
}
