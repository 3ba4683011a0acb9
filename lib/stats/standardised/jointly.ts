import type { NotEstimable } from '../cells';
import { clusterCrossProducts } from '../clusterCrossProducts';
import { beyondStop } from '../beyondStop';
import { numberAtRisk } from '../eventTable';
import type { Stop } from '../stopRule';
import type { Functional } from './functional';
import { influences } from './influence';
import type { Standardisation } from './standardisation';

export interface StandardisedOptions {
  /** Two-sided, 0–1; default 0.95. */
  readonly confidence?: number;
  /** Per group: where its own curve may no longer be read; the standardised one stops there too. Default: at the end of its follow-up. */
  readonly stops?: readonly Stop[];
}

/** One functional per group, or why there is none, with the covariance of all, groups × groups; 0 where there is none. */
export interface Jointly {
  readonly functionals: readonly (Functional | NotEstimable)[];
  readonly covariance: Float64Array;
}

/** Reads all groups' standardised curves up to `time`; the covariance allows for clusters, common coefficients and the common case mix. */
export function jointly(standardisation: Standardisation, time: number, stops: readonly Stop[] | undefined, read: (group: number) => Functional): Jointly {
  const { groups, tables, notEstimable, reach, fit: { state: { model: { cells } } } } = standardisation, size = groups.length;
  const functionals = groups.map((_, g): Functional | NotEstimable => {
    const table = tables[g]!, atRisk = numberAtRisk(table, time), stopped = stops ? beyondStop(table, stops[g]!, time, atRisk) : null;
    if (notEstimable[g] ?? stopped) return (notEstimable[g] ?? stopped)!;
    return time > reach[g]! ? { status: 'notEstimable', reason: `beyond the end of follow-up (n = ${atRisk})` } : read(g);
  });
  const contribution = new Float64Array(cells.count.length * size);
  functionals.forEach((functional, g) => {
    if (!('status' in functional)) influences(standardisation, functional).forEach((v, i) => { contribution[i * size + g] = v; });
  });
  return { functionals, covariance: clusterCrossProducts(contribution, cells, size) };
}
