import { describe, expect, it } from 'vitest';
import { paperLines } from '@/app/blocks/PaperNote';
import { View } from '@/lib/contract/view';
import { timeFigure } from '@/lib/reports/timeFigure';

const days = Float64Array.of(0, 400, 900), values = Float64Array.of(0, 1, 2), none = new Float64Array(0);
const drawn = { days, values, lower: values, upper: values, atRisk: Float64Array.of(300, 200, 100), lastDay: 900 };
const stopped = { days: none, values: none, lower: none, upper: none, atRisk: none, lastDay: 0 };
const told = [{ day: 900, counts: [6] }];

const figure = (name: string, lines: Readonly<Record<string, { trace: typeof drawn; told: typeof told }>>) => timeFigure({
  name, title: name, caption: '', unit: '%', scale: 'linear', even: null, shape: 'steps', horizonYears: 10, format: ({ value }) => `${value}%`, unread: 'too few at risk', atRisk: () => null,
  groups: [], lines: Object.entries(lines).map(([label, line], group) => ({ label, group, thin: false, ...line })),
}, View.parse({}));

describe('under curves on paper', () => {
  it('a line that stops at once is told from one that is withheld', () => {
    expect(paperLines([figure('curves', { A: { trace: drawn, told }, B: { trace: stopped, told: [] }, C: { trace: drawn, told: [] } })]).slice(1)).toEqual(['Too few at risk to be drawn: B.', 'Withheld, as too few had the event: C.']);
  });

  it('nothing is said of panels that say themselves why nothing is drawn', () => {
    const empty = figure('infection', { A: { trace: stopped, told: [] } });
    expect(empty.nothing).toBe('Too few at risk: nothing can be drawn');
    expect(paperLines([empty])).toEqual([]);
    expect(paperLines([empty, figure('loosening', { A: { trace: drawn, told } })])).toHaveLength(1);
  });
});
