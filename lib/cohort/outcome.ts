import type { Outcome } from '../contract/question';
import type { Role } from '../contract/codes';
import { roleBit } from '../engine/followupTable';
import { allOf, isOneOf, type Fragment } from './sql';

/** What ended follow-up, as a number. */
export const eventCode = { censored: 0, ofInterest: 1, otherRevision: 2, death: 3 } as const;

/** SQL of the event code. A revision that is not the event of interest ends follow-up as a competing event. */
export function eventFragment(outcome: Outcome, role: Role): Fragment {
  const ofInterest = allOf([
    ...(new Set(outcome.kinds).size < 2 ? [isOneOf('kind', outcome.kinds)] : []), // both: also those of which the kind is not recorded
    ...(outcome.reasons.length === 0 ? [] : [isOneOf('reason', outcome.reasons)]),
    ...(outcome.ofRoleOnly ? [{ sql: '(removed & ?) <> 0', params: [roleBit(role)] }] : []),
  ]);
  return {
    sql: `CASE ending WHEN 'revision' THEN CASE WHEN ${ofInterest.sql} THEN 1 ELSE 2 END WHEN 'death' THEN 3 ELSE 0 END`,
    params: ofInterest.params,
  };
}

/** Whether some revision may be another than the event of interest. */
export const leavesOtherRevisions = ({ kinds, reasons, ofRoleOnly }: Outcome): boolean => new Set(kinds).size < 2 || reasons.length > 0 || ofRoleOnly;
