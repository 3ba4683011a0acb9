import type { ComparisonFactor } from '../../cohort/comparison';
import type { Fragment } from '../../cohort/sql';
import { unitQualityQuery, type QualityCount } from '../../cohort/unitQuality';
import { dayOf } from '../../contract/calendarDay';
import type { UnitKind } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';
import type { QualityCheck } from './unitsResult';
import { unlikelyNone, unlikePeers, type Share } from './unlikePeers';

interface Check { readonly name: QualityCount; readonly of: 'procedures' | 'revisions'; readonly label: string; readonly why: string }

const leavesOut = 'Where it is adjusted for, procedures without it are left out; who is left out may differ.';
const ofProcedures = (name: QualityCount, label: string, why: string): Check => ({ name, of: 'procedures', label, why });
const ofRevisions = (name: QualityCount, label: string, why: string): Check => ({ name, of: 'revisions', label, why });
const checks: readonly Check[] = [
  ofProcedures('no_asa', 'ASA grade not recorded', leavesOut),
  ofProcedures('no_bmi', 'Body mass index not recorded', leavesOut),
  ofProcedures('no_approach', 'Approach not recorded', leavesOut),
  ofProcedures('no_fixation', 'Fixation of a side not recorded', 'Designs may be recorded incompletely, too.'),
  ofProcedures('ended_early', 'Follow-up ended before the closing date without revision or death',
    'Revisions after leaving the registry are not seen: the unit looks better than it is.'),
  ofProcedures('late_entry', 'Came under observation after the day of the procedure', 'Early revisions before that day are not seen; the estimates allow for it.'),
  ofProcedures('recent', 'Done within 365 days of the closing date', 'Little follow-up yet, and revisions may still be reported.'),
  ofProcedures('first_of_month', 'Dated to the first day of a month', 'About one in thirty is to be expected; more suggests days that were not known.'),
  ofRevisions('linked_otherwise', 'Revisions linked by patient, joint and side', 'Without the key of the procedure a wrong side or a second joint can be linked.'),
  ofRevisions('no_reason', 'Revisions without a recorded reason', 'They are missing from every reason, and from an end point of chosen reasons.'),
  ofRevisions('same_day', 'Revisions on the day of the procedure', 'May be one operation that was reported twice.'),
];

export interface QualityOf {
  readonly kind: UnitKind;
  readonly closingDate: string; // ISO 8601
  /** Procedures left out of the adjustment, of all: the unit's and its peers'. */
  readonly leftOut: { readonly own: Share; readonly peers: Share };
  readonly expected: number; // revisions of the unit; NaN: not known
}

/** Completeness and linkage of the unit (group 0 of the factor) beside its peers (group 1): to be looked at before any claim. */
export async function qualityChecks(
  database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, { kind, closingDate, leftOut, expected }: QualityOf,
): Promise<readonly QualityCheck[]> {
  const result = await database.query(unitQualityQuery(conditions, factor, kind, dayOf(closingDate)));
  const codes = result.numbers('code');
  const count = (side: number, name: QualityCount): number => {
    const row = codes.indexOf(side);
    return row < 0 ? 0 : result.numbers(name)[row]!;
  };
  const check = (name: string, label: string, why: string, own: Share, peers: Share, unlike = unlikePeers(own, peers)): QualityCheck =>
    ({ name, label, own, peers, unlike, why });
  const share = (side: number, name: QualityCount, of: QualityCount): Share => ({ count: count(side, name), of: count(side, of) });
  const shares = (name: QualityCount, of: QualityCount): [Share, Share] => [share(0, name, of), share(1, name, of)];
  const [ownNone, peersNone] = shares('without_revision', 'units');
  return [
    check('left_out', 'Left out of the adjustment: a covariate not recorded',
      'Those left out are in the curves, yet neither among the observed nor the expected revisions.', leftOut.own, leftOut.peers),
    ...checks.map(({ name, of, label, why }) => check(name, label, why, ...shares(name, of))),
    check('without_revision', `${kind === 'hospital' ? 'Hospitals' : 'Surgeons'} without any revision`,
      'None at all where several are expected suggests revisions that were not reported or not linked.',
      ownNone, peersNone, ownNone.count === 1 && unlikelyNone(expected)),
  ];
}
