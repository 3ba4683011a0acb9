/** Left, top, width and height of a zone in a drawing of 220 × 270. */
type Box = readonly [number, number, number, number];

/** A right shoulder from the front: the inner side lies on the right. Codes are those of `lib/contract/zones.ts`. */
export const zoneBoxes: Readonly<Record<'humerus' | 'glenoid', Readonly<Record<string, Box>>>> = {
  humerus: {
    lateral_upper: [40, 88, 48, 40], lateral_middle: [40, 130, 48, 36], lateral_lower: [40, 168, 48, 36], tip: [66, 214, 88, 32],
    medial_lower: [132, 168, 48, 36], medial_middle: [132, 130, 48, 36], medial_upper: [132, 88, 48, 40],
  },
  glenoid: {
    back_upper: [82, 36, 60, 42], anchor_upper: [82, 84, 82, 28], anchor_tip: [168, 106, 44, 56], anchor_lower: [82, 156, 82, 28], back_lower: [82, 190, 60, 42],
  },
};

/** Bone as a line, component solid. */
export const outlines: Readonly<Record<'humerus' | 'glenoid', readonly { readonly d: string; readonly solid: boolean }[]>> = {
  humerus: [
    { d: 'M34 262 L34 96 Q34 58 66 50 L96 40', solid: false },
    { d: 'M186 262 L186 112 Q186 96 178 88', solid: false },
    { d: 'M96 84 L124 84 L120 196 Q110 210 100 196 Z', solid: true },
    { d: 'M96 84 L96 40 A48 48 0 0 1 178 88 L124 84 Z', solid: true },
  ],
  glenoid: [
    { d: 'M58 24 Q80 134 58 246 L74 246 Q92 134 74 24 Z', solid: true },
    { d: 'M80 118 L158 122 Q166 134 158 146 L80 150 Z', solid: true },
    { d: 'M76 20 L150 20 Q214 60 216 134 Q214 208 150 248 L76 248', solid: false },
  ],
};
