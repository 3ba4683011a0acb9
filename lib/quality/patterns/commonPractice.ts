import type { Joint, Role } from '../../contract/codes';

// What is usual in practice. Common practice, no source: a record outside is a question to the hospital and no error by itself.

/** Completed years of age at which an indication is usual, both ends included. */
export const usualAges: Readonly<Record<string, readonly [number, number]>> = {
  osteoarthritis: [35, 100], cuff_arthropathy: [50, 100], acute_fracture: [30, 105], fracture_sequelae: [18, 100], inflammatory_arthritis: [16, 100],
  osteonecrosis: [16, 100], instability_arthropathy: [16, 100], dysplasia: [14, 90],
};

/** Something in a construct that does not go with its class. `roles`: any of them there; `without`: none of them there; `designs`: any of these designs. */
export interface Mismatch {
  readonly id: string;
  readonly label: string;
  readonly joint: Joint;
  readonly classes: readonly string[]; // empty: any
  readonly roles?: readonly Role[];
  readonly without?: readonly Role[];
  readonly designs?: readonly { readonly role: Role; readonly design: string }[];
  readonly otherDesignThan?: { readonly role: Role; readonly design: string };
  readonly fixation?: { readonly side: 'proximal' | 'distal'; readonly is: string };
}

const shoulder = { joint: 'shoulder' } as const, hip = { joint: 'hip' } as const, knee = { joint: 'knee' } as const;
export const mismatches: readonly Mismatch[] = [
  { id: 'reverse-without-glenosphere', label: 'Reverse total without a glenosphere', ...shoulder, classes: ['reverse_total'], without: ['glenosphere'] },
  { id: 'reverse-with-head', label: 'Reverse total with a humeral head', ...shoulder, classes: ['reverse_total'], roles: ['humeral_head'] },
  { id: 'reverse-other-glenoid', label: 'Reverse total with a glenoid component that carries no glenosphere', ...shoulder, classes: ['reverse_total'], otherDesignThan: { role: 'glenoid', design: 'reverse_baseplate' } },
  { id: 'anatomic-without-glenoid', label: 'Anatomic total without a glenoid component', ...shoulder, classes: ['anatomic_total'], without: ['glenoid'] },
  { id: 'anatomic-with-glenosphere', label: 'Anatomic total, hemiarthroplasty or resurfacing with a glenosphere', ...shoulder, classes: ['anatomic_total', 'hemi', 'resurfacing'], roles: ['glenosphere'] },
  { id: 'anatomic-baseplate', label: 'Anatomic total with the baseplate of a glenosphere', ...shoulder, classes: ['anatomic_total'], designs: [{ role: 'glenoid', design: 'reverse_baseplate' }] },
  { id: 'hemi-with-glenoid', label: 'Hemiarthroplasty with a glenoid component', ...shoulder, classes: ['hemi'], roles: ['glenoid'] },
  { id: 'total-without-humerus', label: 'Total or hemiarthroplasty without a humeral component', ...shoulder, classes: ['anatomic_total', 'reverse_total', 'hemi'], without: ['humeral_stem'] },
  { id: 'cap-with-stem', label: 'Resurfacing with a humeral stem', ...shoulder, classes: ['resurfacing'], roles: ['humeral_stem'] },
  { id: 'stemless-cemented', label: 'Stemless component said to be cemented', ...shoulder, classes: [], designs: [{ role: 'humeral_stem', design: 'stemless' }], fixation: { side: 'distal', is: 'cemented' } },
  { id: 'glenoid-no-fixation', label: 'Glenoid component, yet “no component on this side” as its fixation', ...shoulder, classes: [], roles: ['glenoid'], fixation: { side: 'proximal', is: 'none' } },
  { id: 'hip-incomplete', label: 'Total hip without a cup', ...hip, classes: ['total_hip'], without: ['acetabular_cup'] },
  { id: 'hip-without-stem', label: 'Total hip without a stem', ...hip, classes: ['total_hip'], without: ['femoral_stem'] },
  { id: 'hip-hemi-with-cup', label: 'Hip hemiarthroplasty with a cup', ...hip, classes: ['hemi'], roles: ['acetabular_cup'] },
  { id: 'knee-without-femur', label: 'Total knee without a femoral component', ...knee, classes: ['total_knee'], without: ['knee_femoral'] },
  { id: 'knee-without-tibia', label: 'Total knee without a tibial component', ...knee, classes: ['total_knee'], without: ['knee_tibial'] },
];
