import { reachCodes, visitCodeLists } from './visitCodes';
import { zonalField, zonalSigns, type ZonalSign } from './zones';
import { yesNoCodes, type Code } from './codes';

/** Where on a page a measure belongs. */
export type MeasureSection = 'placement' | 'humerus' | 'glenoid' | 'tendon' | 'clinical' | 'motion' | 'pain_and_score';

interface Named {
  readonly name: string;
  readonly label: string;
  readonly section: MeasureSection;
}

/** Ordered grades in one field. `presentFrom`: the first grade of the list that counts as the sign; null: no sign, a level only. */
export interface GradedMeasure extends Named {
  readonly kind: 'grade';
  readonly field: string;
  readonly grades: readonly Code[];
  readonly presentFrom: number | null;
  /** What is said of those with the sign: “attenuated or torn”. */
  readonly present: string;
}

/** A sign read zone by zone: present where any zone that was read has it. */
export interface ZonalMeasure extends Named {
  readonly kind: 'zones';
  readonly sign: ZonalSign;
  readonly fields: readonly string[];
  readonly present: string;
}

/** A measured amount. `ends`: the least and the most that the scale allows, where it has ends. */
export interface AmountMeasure extends Named {
  readonly kind: 'amount';
  readonly field: string;
  readonly unit: string;
  readonly better: 'higher' | 'lower' | null;
  readonly ends: readonly [number, number] | null;
  /** The visit before the procedure is the baseline that change is taken from. */
  readonly hasBaseline: boolean;
}
export type Measure = GradedMeasure | ZonalMeasure | AmountMeasure;

const grade = (name: string, label: string, section: MeasureSection, field: string, grades: readonly Code[], presentFrom: number | null, present: string): GradedMeasure =>
  ({ kind: 'grade', name, label, section, field, grades, presentFrom, present });
const amount = (
  name: string, label: string, section: MeasureSection, unit: string, better: AmountMeasure['better'] = null, hasBaseline = false, ends: AmountMeasure['ends'] = null,
): AmountMeasure => ({ kind: 'amount', name, label, section, field: name, unit, better, ends, hasBaseline });
const lists = visitCodeLists;

/** What a question about visits can ask of, in reading order. A measure's name is that of its field, but for a second one of a field. */
export const measures: readonly Measure[] = [
  amount('head_offset_mm', 'Distance of the head from the ideal', 'placement', 'mm'),
  grade('glenoid_seating', 'Seating of the glenoid component', 'placement', 'glenoid_seating', lists.seating, 1, 'not on bone throughout'),
  amount('canal_fill_upper_percent', 'Canal filled, upper third', 'placement', '%'),
  amount('canal_fill_lower_percent', 'Canal filled, lower third', 'placement', '%'),
  grade('stem_adaptation', 'Bone adaptation around the humeral component', 'humerus', 'stem_adaptation', yesNoCodes, 1, 'any sign'),
  ...zonalSigns.map((sign): ZonalMeasure => ({
    kind: 'zones', name: sign.code, label: sign.label, section: sign.structure, sign, present: 'in any zone', fields: sign.zones.map((zone) => zonalField(sign.code, zone.code)),
  })),
  amount('stem_tilt_deg', 'Tilt of the humeral component', 'humerus', 'degrees'),
  amount('stem_subsidence_mm', 'Subsidence of the humeral component', 'humerus', 'mm'),
  grade('glenoid_radiolucency', 'Radiolucency around the glenoid component', 'glenoid', 'glenoid_radiolucency', lists.radiolucency, 1, 'any line'),
  grade('peg_osteolysis', 'Osteolysis around the central peg', 'glenoid', 'peg_osteolysis', lists.peg_lysis, 1, 'along part or all of the peg'),
  amount('glenoid_tilt_deg', 'Tilt of the glenoid component', 'glenoid', 'degrees'),
  amount('glenoid_shift_mm', 'Shift of the glenoid component', 'glenoid', 'mm'),
  grade('tendon', 'Subscapularis repair on ultrasound', 'tendon', 'tendon', lists.tendon, 1, 'attenuated or torn'),
  grade('tendon_torn', 'Tear of the subscapularis repair', 'tendon', 'tendon', lists.tendon, 2, 'torn'),
  amount('tendon_thickness_mm', 'Thickness of the tendon', 'tendon', 'mm'),
  grade('belly_press', 'Hand against the belly', 'clinical', 'belly_press', lists.clinical_test, 1, 'weak or not possible'),
  grade('lift_off', 'Hand off the back', 'clinical', 'lift_off', lists.clinical_test, 1, 'weak or not possible'),
  amount('flexion_deg', 'Active forward flexion', 'motion', 'degrees', 'higher', true),
  amount('abduction_deg', 'Active abduction', 'motion', 'degrees', 'higher', true),
  amount('external_rotation_deg', 'Active external rotation at the side', 'motion', 'degrees', 'higher', true),
  amount('external_rotation_abducted_deg', 'Active external rotation in abduction', 'motion', 'degrees', 'higher', true),
  grade('internal_rotation_reach', 'Reach behind the back', 'motion', 'internal_rotation_reach', reachCodes, null, ''),
  amount('pain', 'Pain', 'pain_and_score', 'of 10', 'lower', true, [0, 10]),
  amount('score_total', 'Shoulder score', 'pain_and_score', 'of 100', 'higher', true, [0, 100]),
];

export const measureNames = measures.map((m) => m.name);
export const measureOf = (name: string): Measure | undefined => measures.find((m) => m.name === name);
/** Whether the measure says that a sign is present or absent. */
export const isSign = (measure: Measure): measure is GradedMeasure | ZonalMeasure => measure.kind === 'zones' || (measure.kind === 'grade' && measure.presentFrom !== null);
