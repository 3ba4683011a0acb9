import type { Cells, NotEstimable } from '../cells';
import type { CoxFit } from '../cox/cox';
import { membersByPattern, type MembersByPattern } from '../cox/membersByPattern';
import { distinctTimes } from '../distinctTimes';

/** Clusters numbered densely; a cell of cluster −1 stands for `times` clusters of one procedure each, alike in everything. */
export interface Clusters {
  readonly of: Int32Array; // per cell
  readonly times: Float64Array; // per cluster
  readonly events: Float64Array; // of one of them
}

/** Combinations of cluster and pattern that occur: one weight each, whatever the time. */
export interface Kinds extends MembersByPattern {
  readonly cluster: Int32Array;
  readonly pattern: Int32Array;
  readonly events: Float64Array;
}

/** What stays the same while frailties and coefficients are sought. */
export interface FrailtyModel {
  readonly cox: CoxFit;
  readonly clusters: Clusters;
  /** Columns with coefficients to be found; the others keep their value in the Cox fit. */
  readonly free: Int32Array;
  readonly kinds: Kinds;
}

export function frailtyModel(fit: CoxFit): FrailtyModel | NotEstimable {
  const { model } = fit.state, clusters = clustersOf(model.cells);
  const sizes = new Float64Array(clusters.times.length);
  clusters.of.forEach((c, i) => { sizes[c]! += model.cells.count[i]! / clusters.times[c]!; });
  if (sizes.length === 1 && clusters.times[0] === 1) return { status: 'notEstimable', reason: 'all procedures belong to one cluster' };
  if (!sizes.some((n) => n > 1)) return { status: 'notEstimable', reason: 'no cluster has more than one procedure' };
  return {
    cox: fit,
    clusters,
    free: Int32Array.from(fit.notEstimable.keys()).filter((j) => fit.notEstimable[j] === null),
    kinds: kindsOf(model, clusters),
  };
}

function kindsOf(model: CoxFit['state']['model'], { of }: Clusters): Kinds {
  const { cells: { count, event }, design: { pattern }, patterns } = model;
  const { time: combinations, place } = distinctTimes(Float64Array.from(of, (c, i) => c * patterns + pattern[i]!)), events = new Float64Array(combinations.length);
  place.forEach((kind, i) => { if (event[i] === 1) events[kind]! += count[i]!; });
  return {
    ...membersByPattern({ ...model, columns: 0, x: new Float64Array(0), patterns: combinations.length, design: { names: [], values: new Float64Array(0), pattern: place } }),
    cluster: Int32Array.from(combinations, (at) => Math.floor(at / patterns)),
    pattern: Int32Array.from(combinations, (at) => at % patterns),
    events,
  };
}

function clustersOf({ event, count, cluster }: Cells): Clusters {
  const places = new Map<number, number>(), times: number[] = [];
  const of = Int32Array.from(count, (n, i) => {
    const c = cluster?.[i] ?? -1, known = c < 0 ? undefined : places.get(c);
    if (known !== undefined) return known;
    if (c >= 0) places.set(c, times.length);
    return times.push(c < 0 ? n : 1) - 1;
  });
  const events = new Float64Array(times.length);
  of.forEach((c, i) => { if (event[i] === 1) events[c]! += count[i]! / times[c]!; });
  return { of, times: Float64Array.from(times), events };
}
