import type { NotEstimable } from '../cells';
import { chiSquareUpperTail } from '../distributions/chiSquare';
import { normalP, normalQuantile } from '../distributions/normal';
import { studentTP, studentTQuantile } from '../distributions/studentT';
import { generalisedQ, weightedMean, type Studies } from './studies';
import { derSimonianLaird, pauleMandel, restrictedMaximumLikelihood } from './tauSquared';

export interface MeanOfStudies { readonly status: 'ok'; readonly estimate: number; readonly standardError: number; readonly lower: number; readonly upper: number; readonly p: number }
export interface Interval { readonly status: 'ok'; readonly lower: number; readonly upper: number }

export interface MetaAnalysis {
  readonly status: 'ok';
  readonly studies: number;
  /** As if one value were true in all. */
  readonly commonEffect: MeanOfStudies;
  /** The mean of what is true in each; limits by Hartung and Knapp, never narrower than without their factor. */
  readonly randomEffects: (MeanOfStudies & { readonly tauSquared: number; readonly weights: Float64Array; readonly hartungKnappFactor: number }) | NotEstimable; // weights sum to 1
  /** Where the true value of one more study would lie. */
  readonly prediction: Interval | NotEstimable;
  readonly heterogeneity: { readonly q: number; readonly df: number; readonly p: number; readonly iSquared: number }; // iSquared 0–1
  readonly tauSquared: { readonly restrictedMaximumLikelihood: number | NotEstimable; readonly pauleMandel: number; readonly derSimonianLaird: number };
}

/**
 * Meta-analysis of estimates. Two studies can't tell how far studies differ, so that only a common effect is given for them. Throws a RangeError on standard
 * errors that are not above 0.
 * Hartung & Knapp 2001, Stat Med 20:3875; the factor of at least 1: Knapp & Hartung 2003, Stat Med 22:2693; I²: Higgins & Thompson 2002, Stat Med
 * 21:1539; prediction on k − 2 degrees of freedom: Higgins, Thompson & Spiegelhalter 2009, J R Stat Soc A 172:137.
 */
export function metaAnalysis(studies: Studies, confidence = 0.95): MetaAnalysis | NotEstimable {
  const k = studies.estimate.length;
  if (studies.standardError.length !== k || !studies.standardError.every((se) => se > 0 && se < Infinity)) throw new RangeError('every study must have a standard error above 0');
  if (k < 2) return { status: 'notEstimable', reason: k === 0 ? 'no registry has an estimate' : 'only one registry has an estimate: there is nothing to pool it with' };
  const tail = (1 - confidence) / 2, q = generalisedQ(studies, 0), reml = restrictedMaximumLikelihood(studies);
  const { sum, mean } = weightedMean(studies, 0), standardError = Math.sqrt(1 / sum), margin = -normalQuantile(tail) * standardError;
  const randomEffects = random(studies, reml, tail);
  return {
    status: 'ok', studies: k, randomEffects,
    commonEffect: { status: 'ok', estimate: mean, standardError, lower: mean - margin, upper: mean + margin, p: normalP(mean / standardError) },
    prediction: randomEffects.status === 'ok' ? predicted(randomEffects, k, tail) : randomEffects,
    heterogeneity: { q, df: k - 1, p: chiSquareUpperTail(q, k - 1), iSquared: q > k - 1 ? 1 - (k - 1) / q : 0 },
    tauSquared: { restrictedMaximumLikelihood: reml ?? noMaximum, pauleMandel: pauleMandel(studies), derSimonianLaird: derSimonianLaird(studies) },
  };
}

const noMaximum: NotEstimable = { status: 'notEstimable', reason: 'no maximum of the likelihood of how far registries differ was found' };

function random(studies: Studies, tauSquared: number | null, tail: number): MetaAnalysis['randomEffects'] {
  const df = studies.estimate.length - 1;
  if (df < 2) return { status: 'notEstimable', reason: 'two registries can’t tell how far registries differ; at least three are needed' };
  if (tauSquared === null) return noMaximum;
  const { weights, sum, mean } = weightedMean(studies, tauSquared), hartungKnappFactor = generalisedQ(studies, tauSquared) / df;
  const standardError = Math.sqrt(Math.max(1, hartungKnappFactor) / sum), margin = -studentTQuantile(tail, df) * standardError;
  return {
    status: 'ok', estimate: mean, standardError, lower: mean - margin, upper: mean + margin, p: studentTP(mean / standardError, df),
    tauSquared, weights: weights.map((w) => w / sum), hartungKnappFactor,
  };
}

function predicted({ estimate, standardError, tauSquared }: { readonly estimate: number; readonly standardError: number; readonly tauSquared: number }, studies: number, tail: number): Interval {
  const margin = -studentTQuantile(tail, studies - 2) * Math.sqrt(tauSquared + standardError ** 2);
  return { status: 'ok', lower: estimate - margin, upper: estimate + margin };
}
