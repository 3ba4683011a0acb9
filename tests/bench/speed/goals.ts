import type { FirstView, OfSize } from './measured';
import type { Cell } from './timing';

/** A number that was aimed at, and what it is to be held against; null: not measured. */
export interface Goal { readonly what: string; readonly size: number | null; readonly bound: string; readonly measured: string | null; readonly met: boolean }

const msOf = (cell: Cell | undefined): number | null => (cell !== undefined && 'median' in cell ? cell.median : null);
const inNode = (of: OfSize | undefined, name: string): number | null => (of === undefined || 'failed' in of.node ? null : msOf(of.node.times[name]));
const inR = (of: OfSize | undefined, name: string): number | null => (of === undefined || 'failed' in of.r ? null : msOf(of.r.times[name]));
const inChromium = (of: OfSize | undefined, name: string): number | null => (of === undefined || 'failed' in of.chromium ? null : msOf(of.chromium.times[name]));
export const sum = (...parts: (number | null)[]): number | null => parts.reduce((total, v) => (total === null || v === null ? null : total + v), 0);
export const ratio = (a: number | null, b: number | null): number | null => (a === null || b === null ? null : a / b);

/** R and us on the same question, in ms; null: not measured. */
export const sides = (of: OfSize | undefined) => ({
  curves: { ours: inNode(of, 'curves'), theirs: inR(of, 'curves') },
  cox: { ours: sum(inNode(of, 'merging'), inNode(of, 'cox')), theirs: inR(of, 'cox') },
  curvesAndCox: { ours: inNode(of, 'curvesAndCox'), theirs: sum(inR(of, 'curves'), inR(of, 'cox')) },
  proportionalHazards: { ours: inNode(of, 'proportionalHazards'), theirs: inR(of, 'proportionalHazards') },
  many: { ours: inNode(of, 'manyCox'), theirs: inR(of, 'manyCox') },
});

const million = 1_000_000;

export function goalsOf(all: readonly OfSize[], view: FirstView | null): readonly Goal[] {
  const one = all.find(({ size }) => size === million), five = all.find(({ size }) => size === 5 * million);
  const of = (size: number): OfSize | undefined => (size === million ? one : five);
  const atLeast = (what: string, size: number, times: number, side: keyof ReturnType<typeof sides>): Goal => {
    const { ours, theirs } = sides(of(size))[side], found = ratio(theirs, ours);
    return { what, size, bound: `at least ${times} × R`, measured: found === null ? null : `${found.toFixed(0)} ×`, met: (found ?? 0) >= times };
  };
  const atMost = (what: string, size: number | null, bound: number, found: number | null, unit: 'ms' | 's' = 'ms'): Goal =>
    ({ what, size, bound: `at most ${bound} ${unit}`, measured: found === null ? null : `${found.toFixed(unit === 's' ? 1 : 0)} ${unit}`, met: (found ?? Infinity) <= bound });
  const reduced = (of_: OfSize | undefined) => sum(inNode(of_, 'curvesOnly'), inNode(of_, 'merging'), inNode(of_, 'cox'), inNode(of_, 'proportionalHazards'));
  const growth = ratio(reduced(five), reduced(one)), seconds = (ms: number | null) => (ms === null ? null : ms / 1000);
  const longest = [one, five].map((o) => (o === undefined || 'failed' in o.chromium ? null : o.chromium.longestTask));
  return [
    atLeast('five curves and the adjusted model', million, 80, 'curvesAndCox'), atLeast('five curves and the adjusted model', 5 * million, 200, 'curvesAndCox'),
    atLeast('test of proportional hazards', million, 100, 'proportionalHazards'), atLeast('test of proportional hazards', 5 * million, 100, 'proportionalHazards'),
    atMost('a changed filter to curves, limits and model (library in Node)', million, 50, inNode(one, 'curvesAndCox')),
    atMost('a changed filter to curves, limits and model (library in Node)', 5 * million, 120, inNode(five, 'curvesAndCox')),
    atMost('a changed filter to the painted figure (Chromium)', million, 100, inChromium(one, 'filterChange')),
    atMost('a changed filter to the painted figure (Chromium)', 5 * million, 200, inChromium(five, 'filterChange')),
    atMost('18 coefficients, from cells', million, 100, inNode(one, 'manyCox')), atMost('18 coefficients, from cells', 5 * million, 400, inNode(five, 'manyCox')),
    atMost('screening of all models (Node)', million, 1, seconds(inNode(one, 'screening')), 's'),
    { what: 'from cells to curves, model and test: 5 million against 1 million', size: null, bound: 'at most 1.5 ×', measured: growth === null ? null : `${growth.toFixed(1)} ×`, met: (growth ?? Infinity) <= 1.5 },
    atMost('first view of the sample registry, nothing kept', null, 2, seconds(msOf(view?.cold)), 's'), atMost('first view of the sample registry, warm', null, 1, seconds(msOf(view?.warm)), 's'),
    ...longest.map((ms, k) => atMost('longest task on the page while questions are asked', k === 0 ? million : 5 * million, 50, ms)),
  ];
}
