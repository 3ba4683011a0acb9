/** Times in one unit, hazards per that unit. */
export interface Accrual {
  readonly accrual: number; // from the first to the last procedure, evenly; above 0
  readonly further: number; // from the last procedure to the end
  readonly lossHazard: number; // of leaving or dying
}

/** The chance, 0–1, that an event of constant hazard is seen. Lachin & Foulkes 1986, Biometrics 42:507. */
export function eventChance(hazard: number, { accrual, further, lossHazard }: Accrual): number {
  const both = hazard + lossHazard;
  if (both === 0) return 0;
  return (hazard / both) * (1 + (Math.exp(-both * further) * Math.expm1(-both * accrual)) / (both * accrual));
}

/** The constant hazard with which a share, 0–1, has had the event by `time`. */
export const hazardOf = (share: number, time: number): number => -Math.log1p(-share) / time;
