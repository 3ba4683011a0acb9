import type { Cells } from '../../stats/cells';

/** Whose procedures an estimate at a time rests on. */
export interface Contributing {
  /** Hospitals with procedures. */
  readonly hospitals: number;
  /** Hospitals with procedures still at risk just before the time, and those procedures. */
  readonly hospitalsAtRisk: number;
  readonly atRisk: number;
  /** Of the hospital with most procedures at risk among all at risk, 0–1; NaN where none are. */
  readonly largestShare: number;
}

/** `hospital`: a number of at least 0 per cell. */
export function contributing(cells: Cells, hospital: Int32Array, time: number): Contributing {
  if (hospital.length !== cells.exit.length) throw new RangeError(`hospital must have one entry per cell (${cells.exit.length}): ${hospital.length}`);
  const atRiskOf = new Map<number, number>();
  hospital.forEach((h, i) => {
    const inFollowUp = cells.exit[i]! >= time && (cells.entry?.[i] ?? -Infinity) < time;
    atRiskOf.set(h, (atRiskOf.get(h) ?? 0) + (inFollowUp ? cells.count[i]! : 0));
  });
  const counts = [...atRiskOf.values()], atRisk = counts.reduce((sum, n) => sum + n, 0);
  return {
    hospitals: counts.length,
    hospitalsAtRisk: counts.filter((n) => n > 0).length,
    atRisk,
    largestShare: Math.max(0, ...counts) / atRisk,
  };
}
