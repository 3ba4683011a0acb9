import type { ComparisonFactor } from '../../cohort/comparison';
import type { Fragment } from '../../cohort/sql';
import { unitQualityQuery, type QualityCount } from '../../cohort/unitQuality';
import type { UnitKind } from '../../contract/unitsQuestion';
import type { Database } from '../../engine/database';
import type { QualityCheck } from './unitsResult';
import { unlikelyNone, unlikePeers, type Share } from './unlikePeers';

interface Check { readonly name: QualityCount; readonly of: 'procedures' | 'revisions'; readonly label: string; readonly why: string }

const leavesOut = 'Where it is adjusted for, procedures without it are left out; who is left out may differ.';
const checks: readonly Check[] = [
  { name: 'no_asa', of: 'procedures', label: 'ASA grade not recorded', why: leavesOut },
  { name: 'no_bmi', of: 'procedures', label: 'Body mass index not recorded', why: leavesOut },
  { name: 'no_approach', of: 'procedures', label: 'Approach not recorded', why: leavesOut },
  { name: 'no_fixation', of: 'procedures', label: 'Fixation of a side not recorded', why: 'Designs may be recorded incompletely, too.' },
  { name: 'ended_early', of: 'procedures', label: 'Follow-up ended before the closing date without revision or death', why: 'Revisions after leaving the registry are not seen: the unit looks better than it is.' },
  { name: 'late_entry', of: 'procedures', label: 'Came under observation after the day of the procedure', why: 'Early revisions before that day are not seen; the estimates allow for it.' },
  { name: 'recent', of: 'procedures', label: 'Done within 365 days of the closing date', why: 'Little follow-up yet, and revisions may still be reported.' },
  { name: 'first_of_month', of: 'procedures', label: 'Dated to the first day of a month', why: 'About one in thirty is to be expected; more suggests days that were not known.' },
  { name: 'linked_otherwise', of: 'revisions', label: 'Revisions linked by patient, joint and side', why: 'Without the key of the procedure a wrong side or a second joint can be linked.' },
  { name: 'no_reason', of: 'revisions', label: 'Revisions without a recorded reason', why: 'They are missing from every reason, and from an end point of chosen reasons.' },
  { name: 'same_day', of: 'revisions', label: 'Revisions on the day of the procedure', why: 'May be one operation that was reported twice.' },
];

export interface QualityOf {
  readonly kind: UnitKind;
  readonly closingDate: string; // ISO 8601
  /** Procedures left out of the adjustment, of all: the unit's and its peers'. */
  readonly leftOut: { readonly own: Share; readonly peers: Share };
  readonly expected: number; // revisions of the unit; NaN: not known
}

/** Completeness and linkage of the unit (group 0 of the factor) beside its peers (group 1): to be looked at before any claim. */
export async function qualityChecks(database: Database, conditions: readonly Fragment[], factor: ComparisonFactor, { kind, closingDate, leftOut, expected }: QualityOf): Promise<readonly QualityCheck[]> {
  const result = await database.query(unitQualityQuery(conditions, factor, kind, Date.parse(closingDate) / 86_400_000));
  const codes = result.numbers('code');
  const count = (side: number, name: QualityCount): number => {
    const row = codes.indexOf(side);
    return row < 0 ? 0 : result.numbers(name)[row]!;
  };
  const check = (name: string, label: string, why: string, own: Share, peers: Share, unlike = unlikePeers(own, peers)): QualityCheck => ({ name, label, own, peers, unlike, why });
  const shares = (name: QualityCount, of: QualityCount): [Share, Share] => [{ count: count(0, name), of: count(0, of) }, { count: count(1, name), of: count(1, of) }];
  const [ownNone, peersNone] = shares('without_revision', 'units');
  return [
    check('left_out', 'Left out of the adjustment: a covariate not recorded', 'Those left out are in the curves, yet neither among the observed nor the expected revisions.', leftOut.own, leftOut.peers),
    ...checks.map(({ name, of, label, why }) => check(name, label, why, ...shares(name, of))),
    check('without_revision', `${kind === 'hospital' ? 'Hospitals' : 'Surgeons'} without any revision`,
      'None at all where several are expected suggests revisions that were not reported or not linked.', ownNone, peersNone, ownNone.count === 1 && unlikelyNone(expected)),
  ];
}
