import { z } from 'zod';
import { coded, day, identifier } from './fieldTypes';
import { zonalField, zonalSigns, type ZonalFields } from './zones';

const measured = (unit: string, least: number, most: number, description: string) =>
  z.number().min(least).max(most).nullable().meta({ description: `${description}; empty: not measured.`, unit });
const degrees = (least: number, most: number, description: string) =>
  z.int().min(least).max(most).nullable().meta({ description: `${description}; empty: not measured.`, unit: 'degrees' });
const graded = <L extends Parameters<typeof coded>[0]>(list: L, description: string) => coded(list, `${description}; empty: not assessed.`).nullable();

type Grade<L> = L extends 'sign' | 'line' ? ReturnType<typeof graded<L>> : never;
const zonalFields = Object.fromEntries(zonalSigns.flatMap(({ code, label, list, zones }) =>
  zones.map((zone) => [zonalField(code, zone.code), graded(list, `${label}, zone: ${zone.label.charAt(0).toLowerCase()}${zone.label.slice(1)}`)]),
)) as unknown as { readonly [K in keyof ZonalFields]: Grade<ZonalFields[K]> };

/** A planned visit of a procedure. A missed visit is a row without a date; an empty cell of a visit that took place was not assessed. */
export const Followup = z.object({
  procedure_id: identifier('Key of the primary procedure.').meta({ identifies: true }),
  visit: coded('visit_window', 'Planned visit.'),
  visit_date: day('Day of the visit; empty: the visit was missed.').nullable().meta({ emptyHasMeaning: true }),
  glenoid_radiolucency: graded('radiolucency', 'Radiolucency around the glenoid component, worst zone'),
  stem_adaptation: graded('yes_no', 'Any sign of bone adaptation around the humeral component'),
  tendon: graded('tendon', 'Subscapularis repair on ultrasound'),
  tendon_thickness_mm: measured('mm', 0, 20, 'Thickness of the tendon'),
  flexion_deg: degrees(0, 180, 'Active forward flexion'),
  external_rotation_deg: degrees(-60, 120, 'Active external rotation at the side'),
  pain: z.int().min(0).max(10).nullable().meta({ description: 'Pain from 0 (none) to 10; empty: not asked.' }),
  score_total: z.number().min(0).max(100).nullable().meta({ description: 'Total of the shoulder score in use, 0–100, higher is better; empty: not asked.' }),
  score_instrument: z.string().min(1).max(32).nullable().meta({ description: 'Code of the instrument that the total is of, as the registry names it; empty: not said.' }),
  abduction_deg: degrees(0, 180, 'Active abduction'),
  external_rotation_abducted_deg: degrees(-60, 120, 'Active external rotation in abduction'),
  internal_rotation_reach: graded('reach', 'Internal rotation: the highest point that the thumb reaches behind the back'),
  belly_press: graded('clinical_test', 'Pressing the hand against the belly with the elbow in front of the body'),
  lift_off: graded('clinical_test', 'Lifting the hand off the back'),
  head_offset_mm: measured('mm', 0, 40, 'Distance of the centre of the prosthetic head from that of the anatomical head'),
  glenoid_seating: graded('seating', 'How much of the back of the glenoid component rests on bone'),
  canal_fill_upper_percent: measured('percent', 0, 100, 'Share of the width of the canal that the stem fills, in its upper third'),
  canal_fill_lower_percent: measured('percent', 0, 100, 'Share of the width of the canal that the stem fills, in its lower third'),
  glenoid_radiolucency_second: coded('radiolucency', 'The same radiograph by a second reader, without knowledge of the first; empty: not read twice.').nullable(),
  peg_osteolysis: graded('peg_lysis', 'Osteolysis around the central peg of the glenoid component'),
  glenoid_tilt_deg: measured('degrees', 0, 90, 'Tilt of the glenoid component since the first radiographs'),
  glenoid_shift_mm: measured('mm', 0, 50, 'Shift of the glenoid component since the first radiographs'),
  stem_tilt_deg: measured('degrees', 0, 90, 'Tilt of the humeral component since the first radiographs'),
  stem_subsidence_mm: measured('mm', 0, 60, 'Subsidence of the humeral component since the first radiographs'),
  ...zonalFields,
});
