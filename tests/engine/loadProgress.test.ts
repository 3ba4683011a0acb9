import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadExtract, type LoadProgress } from '../../lib/engine/loadExtract';
import { openNodeDatabase } from '../../lib/engine/node';
import { timeLeft } from '../../lib/engine/load/timeLeft';
import { smallExtract } from './smallExtract';

describe('how far a load has come', () => {
  it('goes from nothing to all, never back, and says every stage and the records of each table', async () => {
    const heard: LoadProgress[] = [];
    const rows = Array.from({ length: 30 }, (_, i) => ({ procedure_id: `p${i}`, patient_id: `a${i}` }));
    const result = await loadExtract(openNodeDatabase, smallExtract({ procedures: rows }), { onProgress: (progress) => heard.push(progress) });
    if (result.status === 'loaded') await result.extract.database.close();
    const fractions = heard.map(({ fraction }) => fraction);
    expect(fractions).toEqual([...fractions].sort((a, b) => a - b));
    expect([fractions[0], fractions.at(-1)]).toEqual([0, 1]);
    expect(new Set(heard.map(({ label }) => label))).toEqual(new Set([
      'Looking at the files', 'Opening the database', 'Reading the extract', 'Reading catalogue of models', 'Checking catalogue of models', 'Reading deaths', 'Checking deaths', 'Reading procedures',
      'Checking procedures', 'Reading re-operations', 'Checking re-operations', 'Linking re-operations to procedures', 'Reading components', 'Checking components',
      'Reading follow-up visits', 'Checking follow-up visits', 'Working out follow-up',
    ]));
    expect(heard.find(({ label, rows: done }) => label === 'Reading procedures' && done !== undefined)?.rows).toEqual({ done: 30, of: 30 });
  });
});

describe('the time left', () => {
  it('is not said before it can be, and is right where the work goes evenly', () => {
    let now = 100;
    const left = timeLeft(() => now);
    const said = Array.from({ length: 101 }, (_, i) => {
      now = 100 + i;
      return left(i / 100);
    });
    expect(said.slice(0, 3)).toEqual([undefined, undefined, undefined]);
    said.forEach((seconds, i) => { if (i >= 3) expect(seconds).toBeCloseTo(100 - i, 9); });
  });

  it('never falls below nothing, and moves by no more than a part of what one step tells', () => {
    fc.assert(fc.property(fc.array(fc.tuple(fc.double({ min: 0, max: 20, noNaN: true }), fc.double({ min: 0, max: 0.2, noNaN: true })), { maxLength: 60 }), (steps) => {
      let now = 0, fraction = 0, before: number | undefined;
      const left = timeLeft(() => now);
      for (const [seconds, share] of steps) {
        now += seconds;
        fraction = Math.min(1, fraction + share);
        const said = left(fraction);
        if (said !== undefined) expect(said).toBeGreaterThanOrEqual(0);
        if (said !== undefined && before !== undefined) expect(said - before).toBeLessThanOrEqual(0.15 * (now / fraction) + 1e-9);
        before = said;
      }
    }));
  });
});
