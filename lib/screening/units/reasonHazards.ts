import { distinctTimes } from '../../stats/distinctTimes';
import type { ReferenceHazard } from '../standardisation/referenceHazard';

/** The reference's revisions, one entry per cell that has any: day, cause (0 … causes − 1) and number. */
export interface CausesByDay { readonly day: Float64Array; readonly cause: Int32Array; readonly count: Float64Array }

/**
 * The reference hazard split by cause: each day's step is shared out as the reference's revisions of that day were, so that what is expected by cause adds
 * up to what is expected. As the cumulative incidences of competing causes are built (Kalbfleisch & Prentice 2002, section 8.2), with ratios that are the
 * same for all causes. For a reference without strata.
 */
export function reasonHazards(reference: ReferenceHazard, { day, cause, count }: CausesByDay, causes: number): readonly ReferenceHazard[] {
  const { time: days, place } = distinctTimes(day), all = new Float64Array(days.length), own = Array.from({ length: causes }, () => new Float64Array(days.length));
  place.forEach((d, i) => {
    all[d]! += count[i]!;
    own[cause[i]!]![d]! += count[i]!;
  });
  const placeOf = new Map(Array.from(days, (d, i) => [d, i]));
  return own.map((ofCause): ReferenceHazard => ({
    ...reference,
    strata: new Map([...reference.strata].map(([s, { time, cumulativeHazard, reach }]) => {
      let sum = 0;
      const split = cumulativeHazard.map((value, k) => {
        const d = placeOf.get(time[k]!), step = value - (k === 0 ? 0 : cumulativeHazard[k - 1]!);
        return (sum += d === undefined || all[d] === 0 ? 0 : (step * ofCause[d]!) / all[d]!);
      });
      return [s, { time, cumulativeHazard: split, reach }];
    })),
  }));
}
