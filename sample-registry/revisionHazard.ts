import type { Reason } from './codes';
import type { Construct } from './construct';
import { daysPerYear } from './calendar';
import { baseline, designRatios, periodStarts, type Hazards } from './hazards';
import type { RandomStream } from './random';

const periods = periodStarts.length;

/** Hazards per day of one construct: by reason and period, and what they add up to. */
export interface HazardProfile {
  readonly reasons: readonly Reason[];
  readonly byReason: readonly Float64Array[];
  readonly infection: Float64Array;
  readonly others: Float64Array;
}

/** Hazard of a reason in a period for a class with these designs, per 1,000 component-years. */
export function hazardOf(procedureClass: Construct['class'], designs: readonly (keyof typeof designRatios)[], reason: Reason, period: number): number {
  const hazards: Hazards = baseline[procedureClass];
  return designs.reduce((hazard, design) => hazard * (designRatios[design]?.[reason]?.[period] ?? 1), hazards[reason]?.[period] ?? 0);
}

const profiles = new Map<string, HazardProfile>();

export function profileOf(construct: Construct): HazardProfile {
  const designs = construct.models.map((m) => m.design);
  const key = `${construct.class} ${designs.join(' ')}`;
  let profile = profiles.get(key);
  if (!profile) {
    const reasons = Object.keys(baseline[construct.class]) as Reason[];
    const byReason = reasons.map((reason) =>
      Float64Array.from({ length: periods }, (_, p) => hazardOf(construct.class, designs, reason, p) / 1000 / daysPerYear));
    const infection = byReason[reasons.indexOf('infection')]!;
    const others = Float64Array.from({ length: periods }, (_, p) => byReason.reduce((sum, h) => sum + h[p]!, 0) - infection[p]!);
    profiles.set(key, (profile = { reasons, byReason, infection, others }));
  }
  return profile;
}

export interface Multipliers {
  readonly all: number; // of every reason
  readonly infection: number; // of infection besides
}

/**
 * Time of the next revision in whole days since surgery and its reason, given none before `from`; null: not within `horizon` days.
 * The cumulative hazard, straight within a period, is inverted at an exponential variate; the reason follows the hazards of that period.
 */
export function nextRevision(
  random: RandomStream, profile: HazardProfile, multipliers: Multipliers, from: number, horizon: number,
): { readonly days: number; readonly reason: Reason } | null {
  let left = random.exponential();
  for (let p = 0; p < periods; p++) {
    const end = periodStarts[p + 1] ?? Infinity;
    if (end <= from) continue;
    const start = Math.max(from, periodStarts[p]!);
    if (start > horizon) return null;
    const hazard = multipliers.all * (profile.infection[p]! * multipliers.infection + profile.others[p]!);
    const used = hazard * (end - start);
    if (left < used) {
      const days = Math.floor(start + left / hazard);
      if (days > horizon) return null;
      const weights = profile.reasons.map((reason, r) => profile.byReason[r]![p]! * (reason === 'infection' ? multipliers.infection : 1));
      return { days, reason: profile.reasons[random.weighted(weights)]! };
    }
    left -= used;
  }
  return null;
}
