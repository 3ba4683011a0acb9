import { z } from 'zod';
import { roundings } from '../disclosure/policy';
import type { Block } from '../reports/blocks';

// What a drawing in a case file may be. A file comes from elsewhere: whatever is not exactly this is refused, and all of it is text and numbers.

/** JSON has no words for these, and a limit that cannot be had is one of them. */
const beyondJson = z.enum(['NaN', 'Infinity', '-Infinity']).transform(Number);
const number = z.union([z.number(), beyondJson]);
const place = number; // 0–100 along an axis
const text = z.string();
const yes = z.boolean();
const count = z.int().min(0);
const position = z.int().min(0).max(1000); // of a group among all
const list = <T extends z.ZodType>(of: T) => z.array(of).readonly();

const Cell = z.strictObject({
  text, value: number.exactOptional(), basis: list(number).exactOptional(), outside: text.exactOptional(), outsideValue: number.exactOptional(),
  shade: z.number().min(0).max(1).exactOptional(), href: z.string().regex(/^(\/[a-z]+\/|#[a-z-]+)$/).exactOptional(),
});
const Policy = z.strictObject({ smallest: z.int().min(1), rounding: z.literal(roundings) });
export const Table = z.strictObject({
  name: text, title: text, method: text, protected: z.literal(true), policy: Policy.exactOptional(), blocksAddUp: yes.exactOptional(),
  columns: list(z.strictObject({ label: text, numeric: yes, group: position.exactOptional() })),
  rows: list(z.strictObject({ block: text.exactOptional(), group: position.exactOptional(), cells: list(Cell) })),
});

const Tick = z.strictObject({ at: number, label: text });
const Line = z.strictObject({
  label: text, group: position, thin: yes,
  points: list(z.strictObject({ day: number, value: number.nullable(), band: z.tuple([number, number]).readonly().nullable() })),
});
const TimeFigure = z.strictObject({
  name: text, title: text, caption: text, lastDay: number, timeLabel: text, timeTicks: list(Tick), fewTimeTicks: list(Tick), valueTicks: list(number),
  unit: text, valueLabel: text.exactOptional(), scale: z.enum(['linear', 'log']), even: number.nullable(), shape: z.enum(['steps', 'smooth']), bands: yes,
  groups: list(z.strictObject({ label: text, position })), lines: list(Line), paper: list(Line), atRisk: list(list(text)), outsideAtRisk: list(list(text)).exactOptional(),
  readings: list(z.strictObject({ day: number, label: text, lines: list(z.strictObject({ value: number.nullable(), text, atRisk: text })), spoken: text })),
  firstReading: count, nothing: text.exactOptional(),
});

const StackLayer = z.strictObject({ points: list(z.strictObject({ day: number, band: z.tuple([number, number]).readonly() })) });
const StackFigure = z.strictObject({
  name: text, title: text, caption: text, lastDay: number, timeLabel: text, timeTicks: list(Tick), fewTimeTicks: list(Tick), valueTicks: list(number),
  layers: list(text),
  panels: list(z.strictObject({
    title: text, staysInside: yes, layers: list(StackLayer), paper: list(StackLayer).exactOptional(), nothing: text.exactOptional(),
  })),
});

const ForestRow = z.strictObject({
  key: text, label: text, detail: text.nullable(), group: position.nullable(), counts: text, text, p: text,
  mark: z.strictObject({ at: place, from: place, to: place, runsOffLeft: yes, runsOffRight: yes }).nullable(),
  numbers: z.strictObject({ value: number, lower: number, upper: number, p: number }).nullable(), staysInside: yes,
});
const ForestFigure = z.strictObject({
  columns: z.strictObject({ row: text, counts: text, ratio: text, events: text }), ticks: list(z.strictObject({ at: place, label: text, minor: yes })), unity: place,
  parts: list(z.strictObject({ key: text, heading: text, note: text.nullable(), demoted: yes, rows: list(ForestRow) })),
});

const Mark = z.strictObject({ at: place, runsOff: yes, text, value: number });
const BalanceFigure = z.strictObject({
  title: text, ticks: list(Tick), threshold: place, rows: list(z.strictObject({ label: text, level: text, newBlock: yes, before: Mark, after: Mark, staysInside: yes.exactOptional() })),
});

const FunnelFigure = z.strictObject({
  name: text, title: text, caption: text, kind: z.enum(['hospital', 'surgeon']), expectedLabel: text, expectedTicks: list(number), ratioTicks: list(number),
  lines: list(z.strictObject({ label: text, level: number, widened: yes, outer: yes, points: list(z.strictObject({ expected: number, lower: number, upper: number })) })),
  marks: list(z.strictObject({
    label: text, id: text.nullable(), own: yes, askedAbout: yes, expected: number, ratio: number, above: yes, text, places: text, staysInside: yes,
  })),
  firstReading: count,
});

const DayPoints = list(z.strictObject({ day: number, value: number }));
const MonitorPanel = z.strictObject({ valueTicks: list(number), lines: list(z.strictObject({ label: text, group: position, points: DayPoints, paper: DayPoints })) });
const MonitorFigure = z.strictObject({
  name: text, title: text, caption: text, firstDay: number, lastDay: number, timeTicks: list(Tick), fewTimeTicks: list(Tick),
  limit: z.strictObject({ value: number, label: text }), chart: MonitorPanel, counts: MonitorPanel, spoken: text,
  signals: list(z.strictObject({ label: text, day: number, value: number, paper: z.strictObject({ day: number, value: number }).nullable() })),
  resets: list(z.strictObject({ label: text, day: number })),
});

const PointsFigure = z.strictObject({
  name: text, title: text, caption: text, unit: text, ticks: list(z.strictObject({ at: place, label: text })), places: list(text), groups: list(z.strictObject({ label: text, position })),
  marks: list(z.strictObject({ place: position, group: position, at: place, from: place, to: place, text, staysInside: yes })),
});

const ZoneFigure = z.strictObject({
  name: text, title: text, caption: text, structure: z.enum(['humerus', 'glenoid']),
  panels: list(z.strictObject({ label: text, position, read: text, readStaysInside: yes, zones: list(z.strictObject({ zone: text, label: text, text, shade: number, staysInside: yes })) })),
});

/** A new kind of block needs a line here, or `kindsWithoutSchema` below does not compile. */
const single = [
  z.strictObject({ kind: z.literal('heading'), text }),
  z.strictObject({ kind: z.literal('words'), sentences: list(z.strictObject({ text, staysInside: yes })) }),
  z.strictObject({ kind: z.literal('caution'), text }),
  z.strictObject({ kind: z.literal('overTime'), figure: TimeFigure, table: Table, shownOnce: yes.exactOptional() }),
  z.strictObject({ kind: z.literal('panels'), name: text, title: text, caption: text, panels: list(TimeFigure), table: Table }),
  z.strictObject({ kind: z.literal('stack'), figure: StackFigure, table: Table }),
  z.strictObject({ kind: z.literal('forest'), title: text, figure: ForestFigure, table: Table }),
  z.strictObject({ kind: z.literal('balance'), figure: BalanceFigure, table: Table }),
  z.strictObject({ kind: z.literal('funnel'), figure: FunnelFigure, table: Table }),
  z.strictObject({ kind: z.literal('monitor'), figure: MonitorFigure, table: Table }),
  z.strictObject({ kind: z.literal('points'), figure: PointsFigure, table: Table }),
  z.strictObject({ kind: z.literal('zones'), figure: ZoneFigure, table: Table }),
  z.strictObject({ kind: z.literal('table'), table: Table, folded: yes }),
] as const;
const Single = z.discriminatedUnion('kind', single);

/** One block; a choice holds no choices, so that no file can nest without end. */
export const BlockSchema = z.discriminatedUnion('kind', [
  ...single,
  z.strictObject({ kind: z.literal('choice'), label: text, options: list(z.strictObject({ label: text, blocks: list(Single) })) }),
]);

/** Every kind of block is known here, and what comes out of a file can be drawn as a block. */
type Known = z.output<typeof BlockSchema>;
const kindsWithoutSchema: [Exclude<Block['kind'], Known['kind']>] extends [never] ? true : never = true;
const drawable: Known extends Block ? true : never = kindsWithoutSchema;
/** And what a page draws is let in: a field that the schema lacks would be refused. */
type Drawn = Exclude<Block, { readonly kind: 'choice' }>;
export const blocksAreKnown: Drawn extends z.input<typeof Single> ? true : never = drawable;
