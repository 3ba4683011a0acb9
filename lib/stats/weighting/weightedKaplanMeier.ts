import type { Cells } from '../cells';
import { firstAbove } from '../distinctTimes';
import { eventTable } from '../eventTable';
import type { KaplanMeier } from '../kaplanMeier';

/**
 * Kaplan–Meier estimate in which each procedure of cell i counts `weight[i]` times, with Var(log S) by the infinitesimal jackknife: the sum of
 * squared influences of clusters, weights taken as known. With all weights 1, no clusters and no delayed entry it is Greenwood's. All cells belong to one group.
 * The table's `atRisk` is the effective number, (Σw)²/Σw² of those at risk, so that stop rule and exact limits rest on it; events are counted
 * without weights.
 * Xie & Liu 2005, Stat Med 24:3089 (estimate); Efron 1982, The Jackknife, the Bootstrap and Other Resampling Plans, ch. 6; Lin & Wei 1989,
 * J Am Stat Assoc 84:1074 (clusters).
 */
export function weightedKaplanMeier(cells: Cells, weight: Float64Array): KaplanMeier {
  weight.forEach((w, i) => { if (!(w > 0 && w < Infinity)) throw new RangeError(`cell ${i}: weight must be a finite number above 0: ${w}`); });
  const table = eventTable(cells), { time } = table, size = time.length;
  const { atRisk, effective, events } = weightedSums(cells, weight, time);
  const survival = new Float64Array(size), varLog = new Float64Array(size);
  const influence = new ClusterInfluence(cells, weight);
  const byExit = Int32Array.from(cells.exit.keys()).sort((a, b) => cells.exit[a]! - cells.exit[b]!);
  const byEntry = cells.entry ? Int32Array.from(cells.exit.keys()).filter((i) => cells.entry![i]! >= 0).sort((a, b) => cells.entry![a]! - cells.entry![b]!) : new Int32Array(0);
  cells.exit.forEach((_, i) => { if (!(cells.entry && cells.entry[i]! >= 0)) influence.enter(i, 0); });
  for (let j = 0, s = 1, hazard = 0, out = 0, into = 0; j < size; ++j) {
    for (; into < byEntry.length && cells.entry![byEntry[into]!]! < time[j]!; ++into) influence.enter(byEntry[into]!, hazard);
    const n = atRisk[j]!, d = events[j]!, left = n - d;
    const last = d > 0 && left <= 1e-12 * n;
    if (d > 0) {
      s *= last ? 0 : left / n;
      hazard += last ? 0 : d / (n * left);
    }
    for (; out < byExit.length && cells.exit[byExit[out]!] === time[j]; ++out) {
      const i = byExit[out]!;
      influence.leave(i, hazard, cells.event[i] === 1 && !last ? 1 / left : 0);
    }
    survival[j] = s;
    varLog[j] = s > 0 ? influence.variance(hazard) : Infinity;
  }
  return { table: { ...table, atRisk: effective }, survival, varLog };
}

function weightedSums({ exit, entry, event, count }: Cells, weight: Float64Array, time: Float64Array) {
  const size = time.length;
  const joins = new Float64Array(size), squares = new Float64Array(size), events = new Float64Array(size);
  const add = (j: number, w: number, i: number): void => {
    joins[j]! += w * count[i]! * weight[i]!;
    squares[j]! += w * count[i]! * weight[i]! ** 2;
  };
  exit.forEach((t, i) => {
    const j = firstAbove(time, t) - 1;
    add(j, 1, i);
    if (event[i] === 1) events[j]! += count[i]! * weight[i]!;
    const before = entry && entry[i]! >= 0 ? firstAbove(time, entry[i]!) - 1 : -1; // at risk from the next time on
    if (before >= 0) add(before, -1, i);
  });
  const atRisk = new Float64Array(size), effective = new Float64Array(size);
  for (let j = size - 1, n = 0, q = 0; j >= 0; --j) {
    atRisk[j] = n += joins[j]!;
    q += squares[j]!;
    effective[j] = (n * n) / q;
  }
  return { atRisk, effective, events };
}

/**
 * The influence of a procedure on log S(t) is H(min(t, exit)) − H(entry) − [event by t]/(n − d), with H the sum of d/(n(n − d)), so that of a cluster is
 * a + b H(t): b the weight it has at risk, a what its entries and exits left behind. Sums of a², ab and b² are kept as clusters change.
 */
class ClusterInfluence {
  readonly #a: Float64Array;
  readonly #b: Float64Array;
  readonly #place: Int32Array;
  readonly #amount: Float64Array; // what a procedure of the cell adds to its cluster
  readonly #times: Float64Array; // clusters like this
  #aa = 0;
  #ab = 0;
  #bb = 0;

  constructor({ count, cluster }: Cells, weight: Float64Array) {
    const own = (i: number): boolean => !cluster || cluster[i]! < 0;
    const places = new Map<number, number>();
    let size = 0;
    this.#place = Int32Array.from(count, (_, i) => {
      if (own(i)) return size++;
      const known = places.get(cluster![i]!);
      if (known !== undefined) return known;
      places.set(cluster![i]!, size);
      return size++;
    });
    this.#a = new Float64Array(size);
    this.#b = new Float64Array(size);
    this.#times = new Float64Array(size).fill(1);
    count.forEach((n, i) => { if (own(i)) this.#times[this.#place[i]!] = n; });
    this.#amount = weight.map((w, i) => (own(i) ? w : w * count[i]!));
  }

  enter(i: number, hazard: number): void {
    this.#change(i, -this.#amount[i]! * hazard, this.#amount[i]!);
  }

  /** `event`: 1/(n − d) for one with the event. */
  leave(i: number, hazard: number, event: number): void {
    this.#change(i, this.#amount[i]! * (hazard - event), -this.#amount[i]!);
  }

  variance(hazard: number): number {
    return Math.max(0, this.#aa + 2 * hazard * this.#ab + hazard * hazard * this.#bb);
  }

  #change(i: number, a: number, b: number): void {
    const c = this.#place[i]!, times = this.#times[c]!, a0 = this.#a[c]!, b0 = this.#b[c]!, a1 = a0 + a, b1 = b0 + b;
    this.#a[c] = a1;
    this.#b[c] = b1;
    this.#aa += times * (a1 * a1 - a0 * a0);
    this.#ab += times * (a1 * b1 - a0 * b0);
    this.#bb += times * (b1 * b1 - b0 * b0);
  }
}
