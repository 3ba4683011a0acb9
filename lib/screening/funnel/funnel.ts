import type { NotEstimable } from '../../stats/cells';
import { funnelLimits, standardDeviation, type Widening } from './funnelLimits';
import { overdispersion, type Counted, type Overdispersion } from './overdispersion';

/** Where a unit lies: outside the limits of the widest level named, or within all. `z` is its distance from 1 on the scale of √(O/E). */
export interface FunnelPosition { readonly side: 'higher' | 'lower' | 'within'; readonly level: number | null; readonly z: number }

export interface FunnelUnit {
  readonly ratio: number;
  /** With limits for chance alone. */
  readonly plain: FunnelPosition;
  /** With limits widened by the overdispersion; as `plain` where there is none to be had. */
  readonly widened: FunnelPosition;
}

/** Both readings belong together: widened limits can hide what all units have in common, and neither ranks the units. */
export interface Funnel {
  readonly levels: readonly number[]; // ascending, 0–1
  readonly widening: Widening;
  readonly overdispersion: Overdispersion | NotEstimable;
  /** In the order given; null: nothing was expected, so there is no ratio. */
  readonly units: readonly (FunnelUnit | null)[];
}

export interface FunnelOptions {
  /** Probabilities that the limits enclose; default 0.95 and 0.998. */
  readonly levels?: readonly number[];
  /** Default additive: by the variance between units. */
  readonly widening?: Exclude<Widening, 'none'>;
}

export function funnel(units: readonly Counted[], { levels = [0.95, 0.998], widening = 'additive' }: FunnelOptions = {}): Funnel {
  const ascending = levels.toSorted((a, b) => a - b);
  const spread = overdispersion(units.filter(({ expected }) => expected > 0));
  const position = ({ observed, expected }: Counted, by: Widening): FunnelPosition => {
    const known = spread.status === 'ok' ? spread : null, ratio = observed / expected;
    const outside = ascending.flatMap((level): Omit<FunnelPosition, 'z'>[] => {
      const { lower, upper } = funnelLimits(expected, level, by, known);
      return ratio > upper ? [{ side: 'higher', level }] : ratio < lower ? [{ side: 'lower', level }] : [];
    });
    return { ...(outside.at(-1) ?? { side: 'within', level: null }), z: (Math.sqrt(ratio) - 1) / standardDeviation(expected, by, known) };
  };
  return {
    levels: ascending, widening, overdispersion: spread,
    units: units.map((unit) => (unit.expected > 0 ? { ratio: unit.observed / unit.expected, plain: position(unit, 'none'), widened: position(unit, widening) } : null)),
  };
}
