import type { Estimates, OfSize } from './measured';

/** How far estimates of two engines are apart at most, and how far they may be. */
export interface Difference { readonly what: string; readonly largest: number; readonly allowed: number; readonly compared: number }

const allowed: Readonly<Record<keyof Estimates, { readonly what: string; readonly allowed: number }>> = {
  curves: { what: 'percent revised, limits, numbers at risk (relative)', allowed: 1e-9 },
  coefficients: { what: 'coefficients of the adjusted model', allowed: 1e-8 },
  proportionalHazards: { what: 'χ² of proportional hazards (relative)', allowed: 1e-6 },
  // With delayed entry R adds to and takes from one running sum, and its last digits go: at a million rows it is 3e-8 from ours, of which a plain sum over
  // every risk set leaves a step of 1e-12.
  many: { what: 'the 18 coefficients', allowed: 1e-7 },
};

export function differencesOf({ node, r }: OfSize): readonly Difference[] {
  if ('failed' in node || 'failed' in r) return [];
  return (Object.keys(allowed) as (keyof Estimates)[]).flatMap((name) => {
    const ours = node.estimates[name], theirs = r.estimates[name];
    if (theirs.length === 0 && name === 'many') return []; // not asked of R at this size
    const apart = theirs.map((value, i) => difference(ours[i] ?? NaN, value ?? NaN, name === 'curves' || name === 'proportionalHazards'));
    return [{ ...allowed[name], largest: ours.length === theirs.length && apart.length > 0 ? Math.max(...apart) : Infinity, compared: theirs.length }];
  });
}

function difference(a: number, b: number, isRelative: boolean): number {
  if (Number.isNaN(a) || Number.isNaN(b)) return Number.isNaN(a) && Number.isNaN(b) ? 0 : Infinity;
  return Math.abs(a - b) / (isRelative ? Math.max(1, Math.abs(b)) : 1);
}

export const agrees = ({ largest, allowed: most }: Difference): boolean => largest <= most;
