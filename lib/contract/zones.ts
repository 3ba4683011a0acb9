/** A part of the bone around a component, seen on a radiograph in one plane from the front. Our own division, described in words. */
export interface Zone {
  readonly code: string;
  readonly label: string;
}

/** A sign that is read zone by zone: its field for a zone is `<sign>_<zone>`. */
export interface ZonalSign<Z extends readonly Zone[] = readonly Zone[]> {
  readonly code: string;
  readonly label: string;
  readonly structure: 'humerus' | 'glenoid';
  readonly list: 'sign' | 'line';
  readonly zones: Z;
}

/** Around a humeral component, down its outer side in thirds, its tip, and up the inner side. Of a stemless one: its anchor. */
export const humeralZones = [
  { code: 'lateral_upper', label: 'Outer side, upper third' },
  { code: 'lateral_middle', label: 'Outer side, middle third' },
  { code: 'lateral_lower', label: 'Outer side, lower third' },
  { code: 'tip', label: 'Below the tip' },
  { code: 'medial_lower', label: 'Inner side, lower third' },
  { code: 'medial_middle', label: 'Inner side, middle third' },
  { code: 'medial_upper', label: 'Inner side, upper third' },
] as const satisfies readonly Zone[];

/** Around a glenoid component: behind its back above and below, and around the keel, post or central peg. */
export const glenoidZones = [
  { code: 'back_upper', label: 'Behind the component, upper half' },
  { code: 'anchor_upper', label: 'Keel or central peg, upper side' },
  { code: 'anchor_tip', label: 'Keel or central peg, tip' },
  { code: 'anchor_lower', label: 'Keel or central peg, lower side' },
  { code: 'back_lower', label: 'Behind the component, lower half' },
] as const satisfies readonly Zone[];

const humeral = <const C extends string, const L extends 'sign' | 'line'>(code: C, label: string, list: L) =>
  ({ code, label, structure: 'humerus', list, zones: humeralZones }) as const;

/** Every sign that has zones. */
export const zonalSigns = [
  humeral('thinning', 'Cortical thinning', 'sign'),
  humeral('osteopenia', 'Osteopenia', 'sign'),
  humeral('spot_weld', 'Spot weld', 'sign'),
  humeral('condensation', 'Condensation line', 'sign'),
  humeral('stem_lucency', 'Radiolucent line at the humeral component', 'line'),
  { code: 'glenoid_lucency', label: 'Radiolucent line at the glenoid component', structure: 'glenoid', list: 'line', zones: glenoidZones },
] as const satisfies readonly ZonalSign[];

type FieldsOf<S> = S extends { readonly code: infer C extends string; readonly list: infer L; readonly zones: readonly { readonly code: infer Z extends string }[] }
  ? Readonly<Record<`${C}_${Z}`, L>> : never;
type Intersected<U> = (U extends unknown ? (of: U) => void : never) extends (of: infer I) => void ? I : never;
/** Field of a sign in a zone → the list of its grades. */
export type ZonalFields = Intersected<FieldsOf<(typeof zonalSigns)[number]>>;

export const zonalField = (sign: string, zone: string): string => `${sign}_${zone}`;
