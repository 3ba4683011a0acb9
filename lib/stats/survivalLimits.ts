import { normalQuantile } from './distributions/normal';

/** The scale on which limits are symmetric: log(−log S), log S or S itself. */
export type LimitScale = 'log-log' | 'log' | 'plain';

/** Limits of a survival probability; NaN where there is none. */
export interface SurvivalLimits { readonly lower: number; readonly upper: number }

/**
 * Two-sided limits of S from Var(log S), within [0, 1].
 * At S = 1, where Greenwood's variance is 0, the lower limit on any scale is the exact binomial one of no event among `atRisk`,
 * (α/2)^(1/n); at S = 0 there is none.
 * Kalbfleisch & Prentice 2002, The Statistical Analysis of Failure Time Data, §1.4.
 */
export function survivalLimits(survival: number, varLog: number, atRisk: number, confidence: number, scale: LimitScale): SurvivalLimits {
  const tail = (1 - confidence) / 2;
  if (survival === 1) return { lower: atRisk > 0 ? tail ** (1 / atRisk) : NaN, upper: 1 };
  if (!(survival > 0)) return { lower: NaN, upper: NaN };
  const margin = -normalQuantile(tail) * Math.sqrt(varLog);
  switch (scale) {
    case 'log-log': {
      const logSurvival = Math.log(survival), factor = Math.exp(margin / -logSurvival);
      return { lower: Math.exp(logSurvival * factor), upper: Math.exp(logSurvival / factor) };
    }
    case 'log':
      return { lower: survival * Math.exp(-margin), upper: Math.min(1, survival * Math.exp(margin)) };
    case 'plain':
      return { lower: Math.max(0, survival * (1 - margin)), upper: Math.min(1, survival * (1 + margin)) };
  }
}
