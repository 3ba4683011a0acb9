import type { UnitsQuestion } from '../../contract/unitsQuestion';
import { funnelLimits } from '../funnel/funnelLimits';
import type { Counted, Overdispersion } from '../funnel/overdispersion';
import type { UnitCriterion, UnitLine } from './unitsResult';

export type FlagSettings = Pick<UnitsQuestion, 'minimumExpected' | 'minimumRatio' | 'alarmLevel' | 'widening'>;

/**
 * What a unit must meet to be asked about: enough revisions expected, a ratio of observed to expected that matters, and one above the upper funnel
 * limit, widened by how much units differ anyhow (Spiegelhalter 2005, Stat Med 24:1185). All are the project's own choice, to be set by those who decide.
 * `spread` null: not known, limits are for chance alone. `unit` null: it has no ratio, for the reason given.
 */
export function unitFlag(
  unit: Counted | null, reason: string | null, spread: Overdispersion | null, settings: FlagSettings,
): Pick<UnitLine, 'criteria' | 'status'> {
  const { minimumExpected, minimumRatio, alarmLevel, widening } = settings;
  if (unit === null || !(unit.expected > 0)) {
    const none = (name: UnitCriterion['name'], bound: number): UnitCriterion =>
      ({ name, status: 'notApplied', value: NaN, bound, reason: reason ?? 'no revisions are expected' });
    return { criteria: [none('expected', minimumExpected), none('ratio', minimumRatio), none('limit', NaN)], status: 'notAssessed' };
  }
  const ratio = unit.observed / unit.expected, { upper } = funnelLimits(unit.expected, alarmLevel, widening, spread);
  const criterion = (name: UnitCriterion['name'], value: number, bound: number, met: boolean): UnitCriterion =>
    ({ name, status: met ? 'met' : 'notMet', value, bound, reason: null });
  const criteria = [
    criterion('expected', unit.expected, minimumExpected, unit.expected >= minimumExpected),
    criterion('ratio', ratio, minimumRatio, ratio >= minimumRatio),
    criterion('limit', ratio, upper, ratio > upper),
  ];
  const enough = criteria[0]!.status === 'met';
  return { criteria, status: !enough ? 'notAssessed' : criteria.every(({ status }) => status === 'met') ? 'flagged' : 'passed' };
}
