import { labelOf, roleCodes, type Joint, type Role } from '../contract/codes';

/** The two sides of a joint, as `proximal_fixation` and `distal_fixation` mean them. */
const sidesOfJoint: Record<Joint, { readonly proximal: string; readonly distal: string }> = {
  shoulder: { proximal: 'glenoid', distal: 'humerus' },
  hip: { proximal: 'acetabulum', distal: 'femur' },
  knee: { proximal: 'femur', distal: 'tibia' },
};

export const fixationLabel = (joint: Joint, side: 'proximal' | 'distal'): string => `Fixation at the ${sidesOfJoint[joint][side]}`;

/** A component in running text: “glenoid component”. */
export const componentLabel = (role: Role): string => labelOf(roleCodes, role).toLowerCase();

/** The five calendar years that the band `code` covers; band 0 begins in 1950. */
export const periodKey = (code: number): string => `${1950 + 5 * code}-${1954 + 5 * code}`;
export const periodLabel = (key: string): string => key.replace('-', '–');
