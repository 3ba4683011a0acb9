import type { Cells } from './cells';
import { distinctTimes } from './distinctTimes';
import { eventTable, type EventTable } from './eventTable';
import type { KaplanMeier } from './kaplanMeier';

/**
 * The cumulative incidence F of one cause. As a curve it has `survival` 1 − F, so that percents, limits and the stop rule are read
 * from it as from a Kaplan–Meier curve, and a table in which this cause is the event of interest and the others compete.
 * Limits by log(−log(1 − F)) are those of 1 − KM where nothing competes; at F = 0 the upper one is exact, at F = 1 there is none.
 */
export interface CauseIncidence extends KaplanMeier {
  /** 1 the event of interest, 2 and up competing events. */
  readonly cause: number;
  /** F, 0–1, from each time of the table until the next; 0 before the first. */
  readonly incidence: Float64Array;
  readonly variance: Float64Array;
}

export interface AalenJohansen {
  /** Causes 1, 2 … in this order. */
  readonly causes: readonly CauseIncidence[];
  /** Free of every cause: 1 less the sum of the incidences. */
  readonly eventFree: Float64Array;
}

/**
 * Cumulative incidence of every cause 1 … `causes` (default: the largest that occurs), with the delta-method variance of multinomial
 * increments. Aalen & Johansen 1978, Scand J Stat 5:141; Marubini & Valsecchi 1995, Analysing Survival Data, ch. 10.
 */
export function aalenJohansen(cells: Cells, causes = largestCause(cells)): AalenJohansen {
  const table = eventTable(cells), size = table.time.length;
  const { place } = distinctTimes(cells.exit);
  const events = Array.from({ length: causes }, () => new Float64Array(size));
  cells.event.forEach((cause, i) => {
    if (cause > causes) throw new RangeError(`cell ${i}: event must be at most the number of causes (${causes}): ${cause}`);
    if (cause > 0) events[cause - 1]![place[i]!]! += cells.count[i]!;
  });
  const all = table.events.map((d, j) => d + table.competing[j]!);
  const eventFree = new Float64Array(size);
  for (let j = 0, s = 1; j < size; ++j) eventFree[j] = s *= (table.atRisk[j]! - all[j]!) / table.atRisk[j]!;
  return { causes: events.map((own, k) => incidenceOf(k + 1, table, own, all, eventFree)), eventFree };
}

const largestCause = ({ event }: Cells): number => event.reduce((most, e) => Math.max(most, e), 1);

/**
 * The variance Σ_j (F(t) − F_j)² a_j + b_j − 2 (F(t) − F_j) c_j, with a = d/(n(n − d)), b = S²d_k(n − d_k)/n³, c = S d_k/n²
 * (S before t_j, d_k of this cause, d of all), is kept as a square in F(t).
 */
function incidenceOf(cause: number, table: EventTable, events: Float64Array, all: Float64Array, eventFree: Float64Array): CauseIncidence {
  const size = events.length;
  const incidence = new Float64Array(size), variance = new Float64Array(size);
  let alone = true;
  for (let j = 0, f = 0, s = 1, square = 0, linear = 0, constant = 0; j < size; s = eventFree[j++]!) {
    const n = table.atRisk[j]!, own = events[j]!, d = all[j]!;
    if (d > 0) {
      alone &&= own === d;
      f = alone ? 1 - eventFree[j]! : f + (s * own) / n; // to the last digit 1 − KM as long as nothing has competed
      const a = d < n ? d / (n * (n - d)) : 0; // F stays where it is once none is left free of events
      const b = (s * s * own * (n - own)) / n ** 3, c = (s * own) / (n * n);
      square += a;
      linear += a * f + c;
      constant += a * f * f + b + 2 * c * f;
    }
    incidence[j] = f;
    variance[j] = Math.max(0, f * f * square - 2 * f * linear + constant);
  }
  const survival = incidence.map((f) => Math.max(0, 1 - f));
  return {
    cause,
    table: { ...table, events, competing: all.map((d, j) => d - events[j]!) },
    survival,
    varLog: survival.map((s, j) => (s > 0 ? variance[j]! / (s * s) : Infinity)),
    incidence,
    variance,
  };
}
