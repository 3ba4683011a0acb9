import { describe, expect, it } from 'vitest';
import { partCells, partColumns, usualRatios } from '@/lib/reports/partsTable';
import { protectSmallCounts, withheld } from '@/lib/reports/smallCounts';
import { text } from '@/lib/reports/table';
import { level } from './units/handMade';

const outsideOf = (part: Parameters<typeof partCells>[0]) =>
  protectSmallCounts({ name: 'parts', title: 'Parts', method: '', columns: partColumns, rows: [{ cells: [text('A hospital'), ...partCells(part)] }] }).rows[0]!.cells.slice(1).map(({ outside }) => outside ?? 'told');

describe('a part of a whole, outside the page', () => {
  it.each([
    { story: 'many procedures and revisions', procedures: 100, observed: 12, told: ['told', 'told', 'told', 'told', 'told', 'told', 'told'] },
    { story: 'many procedures, three revised', procedures: 100, observed: 3, told: ['told', '<5', 'told', withheld, withheld, withheld, withheld] },
    { story: 'two procedures, none revised: what is expected would give them away, and excess and limits would give that', procedures: 2, observed: 0, told: ['<5', 'told', withheld, withheld, withheld, withheld, withheld] },
  ])('$story', ({ procedures, observed, told }) => {
    expect(outsideOf({ ...level('part', observed, 2.5), procedures })).toEqual(told);
  });
});

describe('what is usual in a part among those held against', () => {
  const metalBacked = { ...level('Metal-backed', 28, 2.6), peersRatio: { value: 3.97, lower: 3.5, upper: 4.5 } };

  it('stands beside the part: a design that is revised more everywhere', () => {
    const usual = usualRatios([metalBacked, level('Keeled', 13, 8.6)], 'Peers’');
    expect(usual.columns.map(({ label }) => label)).toEqual(['Peers’ ratio']);
    expect(usual.cells(metalBacked).map((cell) => cell.text)).toEqual(['3.97']);
    expect(usual.cells(level('Keeled', 13, 8.6)).map((cell) => cell.text)).toEqual(['–']);
    expect(usual.note).toContain('revised more everywhere');
  });

  it('has no column where what is expected allows for it already', () => {
    const usual = usualRatios([level('Women', 13, 8.6)], 'Peers’');
    expect([usual.columns, usual.cells(level('Women', 13, 8.6)), usual.note]).toEqual([[], [], '']);
  });
});
