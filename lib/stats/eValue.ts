/** A hazard ratio and its limits. */
interface Ratio { readonly value: number; readonly lower: number; readonly upper: number }

/** `rare`: by the end of follow-up fewer than about 15 % have the event in either group, so that a hazard ratio is about a risk ratio. */
export type Frequency = 'rare' | 'common';

/** How strong an unmeasured confounder must be, as a risk ratio with both the group and the outcome, to explain away what is seen; 1: none needed. */
export interface EValue {
  readonly estimate: number;
  /** For the limit nearer to no difference; 1 where the limits include it. */
  readonly limit: number;
}

/** VanderWeele & Ding 2017, Ann Intern Med 167:268; a common outcome by their approximation of the risk ratio. */
export function eValue({ value, lower, upper }: Ratio, frequency: Frequency): EValue {
  if (!(value > 0)) throw new RangeError(`ratio must be above 0: ${value}`);
  const of = (ratio: number): number => {
    const r = riskRatio(Math.max(ratio, 1 / ratio), frequency);
    return r + Math.sqrt(r * (r - 1));
  };
  const nearer = value > 1 ? lower : upper, beyond = value > 1 ? nearer > 1 : nearer < 1;
  return { estimate: of(value), limit: beyond ? of(nearer) : Number.isNaN(nearer) ? NaN : 1 };
}

const riskRatio = (hazardRatio: number, frequency: Frequency): number =>
  frequency === 'rare' ? hazardRatio : (1 - 0.5 ** Math.sqrt(hazardRatio)) / (1 - 0.5 ** Math.sqrt(1 / hazardRatio));
