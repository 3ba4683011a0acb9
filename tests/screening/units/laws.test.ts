import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { referenceHazard } from '@/lib/screening/standardisation/referenceHazard';
import { countedCells, countsByPart, type CountedCells } from '@/lib/screening/units/unitCounts';
import { thirdsByVolume } from '@/lib/screening/units/peers';
import { reasonHazards } from '@/lib/screening/units/reasonHazards';
import type { UnitReference } from '@/lib/screening/units/unitReference';
import { cox } from '@/lib/stats/cox/cox';
import { cellsFrom, designFrom, patients, type Patient } from '../../stats/designs';

/** A unit of some patients held against a reference of others; null where there is no reference. */
function held(own: readonly Patient[], peers: readonly Patient[]): { counted: CountedCells; reference: UnitReference } | null {
  const fit = cox(cellsFrom(peers), designFrom(peers), { ties: 'breslow' });
  if (fit.status !== 'ok') return null;
  const reference: UnitReference = { hazard: referenceHazard(fit), procedures: 0, observed: 0, untilDay: Infinity, notes: [] };
  const counted = countedCells({ cells: cellsFrom(own), unit: new Int32Array(own.length), fine: new Int32Array(own.length), design: designFrom(own) }, reference);
  return counted.status === 'ok' ? { counted, reference } : null;
}
const everyone = (cells: CountedCells) => countsByPart(cells, new Int32Array(cells.observed.length), 1)[0]!;
const sum = (values: readonly number[]): number => values.reduce((total, v) => total + v, 0);
const list = patients({ strata: 1, minLength: 20 });

describe('the parts add up to the whole', () => {
  it('whichever way a unit is cut, observed, expected and procedures', () => {
    fc.assert(fc.property(list, list, fc.infiniteStream(fc.integer({ min: 0, max: 4 })), (own, peers, parts) => {
      const both = held(own, peers);
      fc.pre(both !== null);
      const whole = everyone(both.counted), counts = countsByPart(both.counted, Int32Array.from(own, () => parts.next().value as number), 5);
      for (const what of ['procedures', 'observed'] as const) expect(sum(counts.map((c) => c[what]))).toBe(whole[what]);
      expect(sum(counts.map((c) => c.expected))).toBeCloseTo(whole.expected, 9);
    }));
  });

  it('what is expected by reason, late entry or not', () => {
    fc.assert(fc.property(list, list, fc.infiniteStream(fc.integer({ min: 0, max: 2 })), (own, peers, causes) => {
      const both = held(own, peers);
      fc.pre(both !== null);
      const { counted, reference } = both;
      if (reference.hazard.status !== 'ok') return;
      const revised = peers.filter(({ event }) => event === 1);
      const byDay = { day: Float64Array.from(revised, (p) => p.exit), cause: Int32Array.from(revised, () => causes.next().value as number), count: Float64Array.from(revised, (p) => p.count) };
      const expected = reasonHazards(reference.hazard, byDay, 3).map((hazard) => {
        const of = countedCells(counted.cells, { ...reference, hazard });
        return of.status === 'ok' ? everyone(of).expected : NaN;
      });
      expect(Math.min(...expected)).toBeGreaterThanOrEqual(0);
      expect(sum(expected)).toBeCloseTo(everyone(counted).expected, 9);
    }));
  });

  it('of the reference held against itself the expected by reason are the revisions for it', () => {
    fc.assert(fc.property(list, fc.infiniteStream(fc.integer({ min: 0, max: 2 })), (peers, causes) => {
      const both = held(peers, peers);
      fc.pre(both !== null);
      const { counted, reference } = both;
      if (reference.hazard.status !== 'ok' || counted.comparable.includes(0)) return;
      const revised = peers.filter(({ event }) => event === 1), cause = Int32Array.from(revised, () => causes.next().value as number);
      const hazards = reasonHazards(reference.hazard, { day: Float64Array.from(revised, (p) => p.exit), cause, count: Float64Array.from(revised, (p) => p.count) }, 3);
      hazards.forEach((hazard, r) => {
        const of = countedCells(counted.cells, { ...reference, hazard });
        expect(of.status === 'ok' ? everyone(of).expected : NaN).toBeCloseTo(sum(revised.map((p, i) => (cause[i] === r ? p.count : 0))), 5);
      });
    }));
  });
});

describe('thirds by yearly volume', () => {
  it('nine hospitals are three of each, those alike together', () => {
    const thirds = (volumes: readonly number[]) => { const units = volumes.map((yearlyVolume) => ({ yearlyVolume })), of = thirdsByVolume(units); return units.map((u) => of.get(u)); };
    expect(thirds([9, 1, 8, 2, 7, 3, 6, 4, 5])).toEqual([2, 0, 2, 0, 2, 0, 1, 1, 1]);
    expect(thirds([5, 5, 5, 5])).toEqual([0, 0, 0, 0]);
    expect(thirds([1, 10])).toEqual([0, 1]);
  });
});
