import type { EventTable } from './eventTable';

export interface KaplanMeier {
  readonly table: EventTable;
  /** S(t) from each time of the table until the next; 1 before the first. */
  readonly survival: Float64Array;
  /** Var(log S(t)) by Greenwood's formula; Infinity once S is 0. */
  readonly varLog: Float64Array;
}

/**
 * Survival free of the event of interest; competing events end follow-up as censorings do.
 * Kaplan & Meier 1958, J Am Stat Assoc 53:457; Greenwood 1926, Rep Public Health Med Subj 33.
 */
export function kaplanMeier(table: EventTable): KaplanMeier {
  const size = table.time.length;
  const survival = new Float64Array(size), varLog = new Float64Array(size);
  for (let j = 0, s = 1, v = 0; j < size; ++j) {
    const d = table.events[j]!, n = table.atRisk[j]!;
    if (d > 0) {
      s *= (n - d) / n;
      v += d / (n * (n - d));
    }
    survival[j] = s;
    varLog[j] = v;
  }
  return { table, survival, varLog };
}
