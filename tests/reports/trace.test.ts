import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ratioTicks, ticksFromZero } from '@/lib/reports/ticks';
import { pointAt, thinSteps, type Trace } from '@/lib/reports/trace';

/** Curves that rise by chance, some of them often enough to fill every dot. */
const traces = fc.array(fc.record({ wait: fc.integer({ min: 1, max: 40 }), rise: fc.double({ min: 0, max: 1, noNaN: true }) }), { minLength: 1, maxLength: 400 }).map((steps): Trace => {
  let day = 0, percent = 0;
  const days = [0], values = [0];
  for (const { wait, rise } of steps) {
    days.push(day += wait);
    values.push(percent += (100 - percent) * rise * 0.02);
  }
  const of = (shift: number) => Float64Array.from(values, (v) => v * shift);
  return { days: Float64Array.from(days), values: of(1), lower: of(0.9), upper: of(1.1), atRisk: of(0), lastDay: day };
});

describe('steps of a curve that a drawing can tell apart', () => {
  const canvas = { columns: 90, rows: 60, height: 100 };

  it('are its own steps, none moved, ending at the last', () => {
    fc.assert(fc.property(traces, (trace) => {
      const points = thinSteps(trace, trace.lastDay, canvas);
      for (const point of points) expect(point).toEqual(pointAt(trace, point.day));
      expect(points.at(-1)?.day).toBe(trace.days.at(-1));
      expect(points.map(({ day }) => day)).toEqual([...new Set(points.map(({ day }) => day))].sort((a, b) => a - b));
    }));
  });

  it('draw a curve that is nowhere more than a dot off, in either direction', () => {
    fc.assert(fc.property(traces, (trace) => {
      const points = thinSteps(trace, trace.lastDay, canvas);
      const [across, up] = [trace.lastDay / canvas.columns, canvas.height / canvas.rows];
      const drawn = (day: number) => points.findLast((p) => p.day <= day)?.value ?? 0;
      trace.days.forEach((day, i) => { // the drawn value, a dot to the right at the latest, has reached the true one within a dot
        expect(drawn(day + across)).toBeGreaterThan(trace.values[i]! - up - 1e-9);
        expect(drawn(day)).toBeLessThanOrEqual(trace.values[i]!);
      });
    }));
  });

  it('are few even where there is a step every day', () => {
    const days = Float64Array.from({ length: 3653 }, (_, i) => i), values = days.map((d) => d / 100);
    const thinned = thinSteps({ days, values, lower: values, upper: values, atRisk: values, lastDay: 3652 }, 3652, { columns: 900, rows: 600, height: 50 });
    expect(thinned.length).toBeLessThanOrEqual(901);
  });
});

describe('ticks', () => {
  it('are round, start at 0 and reach the top', () => {
    fc.assert(fc.property(fc.double({ min: 1e-3, max: 1e5, noNaN: true }), fc.integer({ min: 2, max: 10 }), (largest, wanted) => {
      const ticks = ticksFromZero(largest, wanted);
      expect(ticks[0]).toBe(0);
      expect(ticks.at(-1)).toBeGreaterThanOrEqual(largest * (1 - 1e-6));
      expect(ticks.length).toBeLessThanOrEqual(wanted + 2);
    }));
  });
  it.each([[10.8, 6, [0, 2, 4, 6, 8, 10, 12]], [0.3, 6, [0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3]]])('up to %d: %j', (largest, wanted, ticks) => {
    expect(ticksFromZero(largest, wanted)).toEqual(ticks);
  });
  it('of ratios hold 1 and both ends', () => {
    expect(ratioTicks(0.7, 2.4)).toEqual([0.5, 1, 2, 5]);
    expect(ratioTicks(0.03, 1)).toEqual([0.02, 0.05, 0.1, 0.2, 0.5, 1, 2]);
  });
});
