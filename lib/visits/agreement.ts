import { radiolucencyCodes } from '../contract/visitCodes';
import { weightedKappa } from '../stats/ordinal/weightedKappa';
import type { AskedVisits } from './askedVisits';
import type { Agreement } from './visitsResult';

/** Two readers of the glenoid component, all visits and groups together. */
export function agreement({ data: { visits }, question: { confidence } }: AskedVisits): Agreement | null {
  const first = visits.values.get('glenoid_radiolucency'), counts = radiolucencyCodes.map(() => radiolucencyCodes.map(() => 0));
  visits.secondReading.forEach((second, i) => {
    const own = first?.[i] ?? NaN;
    if (!Number.isNaN(own) && !Number.isNaN(second)) counts[own]![second]! += 1;
  });
  const read = counts.flat().reduce((sum, n) => sum + n, 0);
  if (read === 0) return null;
  const found = weightedKappa(counts, confidence);
  return {
    measure: 'glenoid_radiolucency', label: 'Radiolucency around the glenoid component',
    levels: radiolucencyCodes.map(({ code, label }) => ({ code, label })),
    counts, read,
    same: counts.reduce((sum, row, i) => sum + row[i]!, 0),
    weightedKappa: found.status === 'ok' ? { value: found.value, lower: found.lower, upper: found.upper } : found,
  };
}
