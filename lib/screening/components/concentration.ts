import { ratioEstimate } from '../units/drivers';
import type { UnitCount } from '../units/unitCounts';
import type { Driver } from '../units/unitsResult';
import type { ComponentExplained, Concentration, Part } from './explainedResult';

const notRecorded = 'Not recorded'; // as the cut by users calls it

export const partOf = (key: string, label: string, { procedures, observed, expected }: Pick<UnitCount, 'procedures' | 'observed' | 'expected'>, confidence: number): Part =>
  ({ key, label, procedures, observed, expected, excess: observed - expected, ratio: ratioEstimate({ observed, expected }, confidence) });

/** The largest user, by procedures, against all other users of the model. `byUser` has the largest first; procedures of which the user is not recorded are left out. */
export function concentrationOf(unit: Concentration['unit'], byUser: Driver, users: ComponentExplained['users'], confidence: number): Concentration {
  const [largest, ...rest] = byUser.levels.filter(({ label }) => label !== notRecorded), total = (of: 'procedures' | 'observed' | 'expected') => rest.reduce((sum, level) => sum + level[of], 0);
  const elsewhere = { procedures: total('procedures'), observed: total('observed'), expected: total('expected') };
  const one = largest ?? { key: 'none', procedures: 0, observed: 0, expected: 0 }, [own, others] = users, count = unit === 'hospital' ? 'hospitals' : 'surgeons';
  return {
    unit,
    users: own?.[count] ?? 0,
    othersUsers: others?.[count] ?? 0,
    largest: partOf(one.key, `The ${unit} that used it most`, one, confidence),
    elsewhere: partOf('elsewhere', `All other ${count}`, elsewhere, confidence),
    shareOfProcedures: one.procedures / (one.procedures + elsewhere.procedures),
    shareOfRevisions: one.observed / (one.observed + elsewhere.observed),
  };
}
