import { describe, expect, it } from 'vitest';
import { toCsv } from '../../../lib/reports/csv';
import { funnelFigure } from '../../../lib/reports/funnelFigure';
import { funnelBlocks, funnelNames, funnelTable, shrunkenTable } from '../../../lib/reports/units/funnelBlocks';
import { counts, hospitals, own, view } from './handMade';

const all = hospitals(), ids = Object.keys(counts), withRatio = ids.filter((id) => id !== 'NONE');
const namesIn = (what: unknown): readonly string[] => ids.filter((id) => JSON.stringify(what).includes(id));

describe('units in a funnel', () => {
  it('are in the order of how much is expected, which is no ranking', () => {
    const expected = funnelFigure(all, funnelNames(all, own), 'both').marks.map((mark) => mark.expected);
    expect(expected).toEqual(Object.values(counts).map(([, e]) => e).filter((e) => e > 0).sort((a, b) => a - b));
  });

  it('name no peer, in drawing and tables', () => {
    expect(namesIn(funnelBlocks(all, own))).toEqual(['OWN']);
    expect(namesIn(funnelBlocks(all, view()))).toEqual([]);
  });

  it('name them where names are switched on, yet not in print or files', () => {
    const named = { ...own, names: true }, table = funnelTable(all, funnelNames(all, named));
    expect(namesIn(funnelBlocks(all, named))).toEqual(ids);
    expect(namesIn(toCsv(table, []))).toEqual([]);
    expect(table.rows.every(({ cells: [unit] }) => unit?.outside !== undefined)).toBe(true);
  });

  it('can be opened only where they have a name', () => {
    const opened = (names: boolean) => funnelFigure(all, funnelNames(all, { ...own, names }), 'both').marks.flatMap(({ id, own: mine }) => (id === null || mine ? [] : [id]));
    expect(opened(false)).toEqual([]);
    expect([...opened(true)].sort()).toEqual(withRatio.filter((id) => id !== 'OWN').sort());
  });

  it('say where the own one lies among both kinds of limits, and mark it', () => {
    const { marks, firstReading } = funnelFigure(all, funnelNames(all, own), 'both'), mine = marks[firstReading];
    expect(mine).toMatchObject({ own: true, label: 'hospital OWN', text: '60 observed, 30.0 expected, ratio 2.00', askedAbout: true });
    expect(mine?.places).toMatch(/^Limits for chance alone: above the 99\.8% limit; widened: above the 9\d/);
  });

  // Spiegelhalter 2005, Stat Med 24:1185, appendix A.1.1: at 20 expected 0.560–1.437 (95%) and 0.358–1.736 (99.8%), recomputed.
  it('stand between exact limits', () => {
    const { lines } = funnelFigure(all, funnelNames(all, own), 'chance');
    const at20 = (wanted: number) => {
      const points = lines.find((line) => line.level === wanted)!.points, i = points.findIndex(({ expected }) => expected >= 20);
      const a = points[i - 1]!, b = points[i]!, share = (20 - a.expected) / (b.expected - a.expected);
      return [a.lower + share * (b.lower - a.lower), a.upper + share * (b.upper - a.upper)] as const;
    };
    for (const [wanted, lower, upper] of [[0.95, 0.56, 1.437], [0.998, 0.358, 1.736]] as const) {
      expect(at20(wanted)[0]).toBeCloseTo(lower, 2);
      expect(at20(wanted)[1]).toBeCloseTo(upper, 2);
    }
  });

  it('keep a small count of revisions from leaving the page, in the drawing too', () => {
    const figure = funnelFigure(all, funnelNames(all, own), 'both'), [head, ...lines] = toCsv(funnelTable(all, funnelNames(all, own)), []).split('\r\n').filter((line) => !line.startsWith('#') && !line.startsWith('"#'));
    expect(head).toContain('Observed');
    expect(figure.marks.filter(({ staysInside }) => staysInside).map(({ text }) => text)[0]).toBe('3 observed, 2.5 expected, ratio 1.20');
    expect(figure.marks.filter(({ staysInside }) => staysInside), 'with its companion, as all add up to a known total').toHaveLength(2);
    expect(lines.filter((line) => /^a peer,\d+,withheld,[\d.]+,withheld,withheld,withheld,withheld,withheld,withheld$/.test(line)), 'alike in the file').toHaveLength(2);
  });

  it('are drawn no higher than can be read: single revisions make ratios of any size', () => {
    const at = { side: 'within' as const, level: null, z: 1 }, first = all.units[0]!;
    const tiny = { ...first, standardised: { ...first.standardised, status: 'ok', observed: 2, expected: 0.1, ratio: 20 } as typeof first.standardised };
    const with20 = { ...all, units: [tiny, ...all.units.slice(1)], funnel: { ...all.funnel, units: [{ ratio: 20, plain: at, widened: at }, ...all.funnel.units.slice(1)] } };
    const { marks, ratioTicks } = funnelFigure(with20, funnelNames(all, own), 'both');
    expect(ratioTicks.at(-1)).toBeLessThanOrEqual(4);
    expect(marks[0]).toMatchObject({ above: true, ratio: ratioTicks.at(-1) });
  });

  it('have shrunken ratios with the uncertainty of their place', () => {
    const table = shrunkenTable(all, funnelNames(all, own));
    expect(table?.rows).toHaveLength(withRatio.length);
    const mine = table?.rows.find(({ cells: [unit] }) => unit?.text.startsWith('hospital OWN'))?.cells;
    expect(mine?.[3]?.value).toBeGreaterThan(1);
    expect(mine?.[3]?.value).toBeLessThan(2); // drawn towards the mean
    expect(mine?.[7]?.text).toMatch(/^\d+–11$/);
  });
});
