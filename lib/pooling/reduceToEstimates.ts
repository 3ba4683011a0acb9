import { askedCohort } from '../analysis/askedCohort';
import { compareGroups } from '../analysis/compareGroups';
import type { CoxResult, HazardRatio, NothingToShow } from '../analysis/result';
import { stepOf, type AnalysisOptions } from '../analysis/step';
import { othersKey, type Question } from '../contract/question';
import { RegistryEstimates } from '../contract/registryEstimates';
import { isSmallCount } from '../disclosure/countTable';
import type { LoadedExtract } from '../engine/loadedExtract';
import type { NotEstimable } from '../stats/cells';
import { normalQuantile } from '../stats/distributions/normal';
import { fileHead, sealed } from './sealFile';

export interface EstimateOptions extends AnalysisOptions {
  readonly smallest: number;
  /** What the registry is to be called; default: as in its extract. */
  readonly name?: string | undefined;
}

/** The group that the question holds the others against, whatever registry is asked; null: the largest, which differs between registries. */
export const namedReference = ({ reference, withOthers }: Question): string | null => reference ?? (withOthers ? othersKey : null);

/**
 * One registry's own adjusted log hazard ratios, with its own strata and clusters. A ratio that rests on from 1 to `smallest` − 1 revisions of the group or of the
 * reference is withheld, since the standard error tells about how many there are. The question is to name its reference and groups.
 */
export async function reduceToEstimates(extract: LoadedExtract, question: Question, options: EstimateOptions): Promise<RegistryEstimates | NothingToShow> {
  const step = stepOf(options), asked = await askedCohort(extract, question, step), { smallest } = options;
  if (asked.status === 'empty') return asked;
  const reference = namedReference(question) ?? asked.reference;
  const fit = asked.reference === reference ? (await compareGroups(asked, question, step)).adjusted : withoutReference;
  const counts = countsOf(fit, reference), told = (count: number): number | null => (isSmallCount(count, smallest) ? null : count);
  const reduced: Pick<RegistryEstimates, 'groups' | 'ratios' | 'adjustedFor' | 'reference' | 'smallest'> = {
    smallest, reference,
    adjustedFor: fit.status === 'ok' ? [...fit.adjustedFor] : [...asked.adjustments.map(({ coding }) => coding.label), ...asked.strata.map(({ label }) => `${label} (stratified)`)],
    groups: [...counts].map(([key, { procedures, events }]) => ({ key, procedures: told(procedures), events: told(events) })),
    ratios: asked.groups.filter(({ key }) => key !== reference).map(({ key }) => ratioOf(key, fit, counts, reference, question.confidence, smallest)),
  };
  return RegistryEstimates.parse(await sealed({
    format: 'registry-estimates', ...await fileHead(extract.source, question, options.name), ...reduced,
    holds: [`Logarithms of hazard ratios with their standard errors, and how many procedures and revisions they rest on; counts from 1 to ${smallest - 1}, and ratios that rest on so few revisions, are withheld. Nothing of single procedures.`],
  }));
}

type Fit = CoxResult | NotEstimable;
type Counts = ReadonlyMap<string, { readonly procedures: number; readonly events: number }>;
const withoutReference: NotEstimable = { status: 'notEstimable', reason: 'the registry has no procedure of the reference group' };
const ofGroups = (fit: Fit): readonly HazardRatio[] => (fit.status === 'ok' ? fit.ratios.filter(({ term }) => term === 'group') : []);

/** In the fit, of every group and the reference. */
function countsOf(fit: Fit, reference: string): Counts {
  if (fit.status !== 'ok') return new Map();
  const ratios = ofGroups(fit), rest = (of: 'procedures' | 'events'): number => ratios.reduce((left, ratio) => left - ratio[of], fit[of]);
  return new Map([[reference, { procedures: rest('procedures'), events: rest('events') }], ...ratios.map(({ level, procedures, events }) => [level, { procedures, events }] as const)]);
}

function ratioOf(group: string, fit: Fit, counts: Counts, reference: string, confidence: number, smallest: number): RegistryEstimates['ratios'][number] {
  const ratio = ofGroups(fit).find(({ level }) => level === group);
  if (ratio === undefined) return { group, status: 'notEstimable', reason: fit.status === 'ok' ? 'it is not in the model' : fit.reason };
  if ([group, reference].some((key) => isSmallCount(counts.get(key)?.events ?? 0, smallest))) return { group, status: 'withheld', reason: `it rests on fewer than ${smallest} revisions of the group or of the reference` };
  const { estimate } = ratio;
  if ('reason' in estimate) return { group, status: 'notEstimable', reason: estimate.reason };
  return {
    group, status: 'ok', logRatio: Math.log(estimate.value), standardError: Math.log(estimate.upper / estimate.lower) / (-2 * normalQuantile((1 - confidence) / 2)),
    ...(ratio.ownLimits !== undefined && { ownLimits: ratio.ownLimits }),
  };
}
