import type { Coding } from './covariate';
import type { codesOf, reasonCodes } from '../contract/codes';

type Reason = ReturnType<typeof codesOf<typeof reasonCodes>>[number];

/** Reasons for revision that are read together. */
export interface ReasonGroup {
  readonly key: string;
  readonly label: string;
  readonly reasons: readonly Reason[];
}

const notRecorded: ReasonGroup = { key: 'not_recorded', label: 'Reason not recorded', reasons: [] };

/**
 * Every reason is in one group; a revision without any is in the last. Osteolysis is read with loosening, which it leads to, and
 * dissociation with instability, as both lose the joint's congruence; wear and erosion stay with the other reasons. Common practice, no source.
 */
export const reasonGroups: readonly ReasonGroup[] = [
  { key: 'loosening', label: 'Loosening', reasons: ['glenoid_loosening', 'humeral_loosening', 'loosening', 'lysis'] },
  { key: 'instability', label: 'Instability', reasons: ['instability', 'dissociation'] },
  { key: 'infection', label: 'Infection', reasons: ['infection'] },
  { key: 'fracture', label: 'Fracture', reasons: ['periprosthetic_fracture'] },
  { key: 'cuff_failure', label: 'Cuff failure', reasons: ['cuff_failure'] },
  { key: 'other', label: 'Other', reasons: ['wear', 'socket_erosion', 'malposition', 'stiffness', 'pain', 'other_reason'] },
  notRecorded,
];

/** The position in `reasonGroups` of what the first revision was for, null where there was none. */
export const reasonGroupCoding: Pick<Coding, 'label' | 'code'> = {
  label: 'Reason for revision',
  code: `CASE ${reasonGroups.filter((g) => g !== notRecorded).map(({ reasons }, i) => `WHEN reason IN (${reasons.map((r) => `'${r}'`).join(', ')}) THEN ${i}`).join(' ')}
WHEN ending = 'revision' THEN ${reasonGroups.indexOf(notRecorded)} END`,
};
