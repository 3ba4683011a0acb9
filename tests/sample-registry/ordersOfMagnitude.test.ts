import { describe, expect, it } from 'vitest';
import { followed, generated, percentRevised, rate, type Followed } from './generated';

const registry = generated(40_000);
const { truth } = registry;
const all = followed(registry);
const ofClass = (name: string) => all.filter((f) => f.procedure['class'] === name);
const anatomic = ofClass('anatomic_total');
const design = (name: string) => anatomic.filter((f) => f.glenoid === name);
const allPoly = anatomic.filter((f) => f.glenoid!.startsWith('all_poly'));
const metalBacked = design('metal_backed');
const share = (group: readonly unknown[], of: readonly unknown[]) => (100 * group.length) / of.length;
const within = (value: number, least: number, most: number) => {
  expect(value).toBeGreaterThan(least);
  expect(value).toBeLessThan(most);
};
const between = (group: readonly Followed[], from: string, to: string) => group.filter((f) => {
  const date = f.procedure['procedure_date'] as string;
  return date >= from && date < to;
});

// Orders of magnitude in this file: common practice, no source.
describe('revision of shoulder replacements', () => {
  it('is over five times as frequent with metal-backed glenoid components as with all-polyethylene ones at seven years', () => {
    expect(rate(metalBacked, 7) / rate(allPoly, 7)).toBeGreaterThan(5);
    expect(percentRevised(metalBacked, 7) / percentRevised(allPoly, 7)).toBeGreaterThan(5);
  });

  it('is rarer with pegged than with keeled components at seven years', () => {
    expect(percentRevised(design('all_poly_pegged'), 7)).toBeLessThan(percentRevised(design('all_poly_keeled'), 7));
  });

  it('affects 4 to 8 % of all-polyethylene anatomic totals and about 5 % of reverse totals in ten years', () => {
    within(percentRevised(allPoly, 10), 4, 8);
    within(percentRevised(ofClass('reverse_total'), 10), 3.5, 6.5);
  });

  it('for loosening of the glenoid component climbs after five years', () => {
    const loosening = (from: number, to: number) => {
      const time = allPoly.reduce((sum, f) => sum + Math.max(0, Math.min(f.exit, to) - Math.max(f.entry, from)), 0);
      return allPoly.filter((f) => f.revised && f.reason!.includes('glenoid_loosening') && f.exit >= from && f.exit < to).length / time;
    };
    expect(loosening(1826, 5000)).toBeGreaterThan(2 * loosening(0, 1826));
  });

  it('for infection and instability comes early', () => {
    const early = allPoly.filter((f) => f.revised && f.exit < 365);
    const late = allPoly.filter((f) => f.revised && f.exit > 5 * 365);
    const acute = (group: readonly Followed[]) => share(group.filter((f) => /infection|instability/.test(f.reason!)), group);
    expect(acute(early)).toBeGreaterThan(2 * acute(late));
  });
});

describe('who got what, and when', () => {
  it('has few hips and knees, and grows from few to most reverse totals', () => {
    within(share(all.filter((f) => f.procedure['joint'] !== 'shoulder'), all), 2, 4);
    within(share(anatomic, all), 40, 50);
    within(share(ofClass('reverse_total'), all), 38, 50);
    const reverseIn = (from: string, to: string) => share(between(ofClass('reverse_total'), from, to), between(all, from, to));
    expect(reverseIn('2005', '2008')).toBeLessThan(25);
    expect(reverseIn('2023', '2025')).toBeGreaterThan(50);
  });

  it('moves from keeled to pegged and fluted pegs, with some 8 % metal-backed, falling', () => {
    const part = (name: string, from: string, to: string) => share(between(design(name), from, to), between(anatomic, from, to));
    expect(part('all_poly_keeled', '2005', '2007')).toBeGreaterThan(45);
    expect(part('all_poly_keeled', '2023', '2025')).toBeLessThan(10);
    expect(part('all_poly_fluted_peg', '2005', '2009')).toBe(0);
    expect(part('all_poly_fluted_peg', '2023', '2025')).toBeGreaterThan(40);
    within(share(metalBacked, anatomic), 6, 10);
    expect(part('metal_backed', '2022', '2025')).toBeLessThan(part('metal_backed', '2005', '2008') / 2);
  });

  it('gives the old keeled components and standard stems, and the young stemless ones', () => {
    const meanAge = (group: readonly Followed[]) => group.reduce((sum, f) => sum + (f.procedure['age_years'] as number), 0) / group.length;
    const since2012 = between(anatomic, '2012', '2025');
    const withStem = (stem: string) => since2012.filter((f) => f.stem === stem);
    expect(meanAge(withStem('standard_stem')) - meanAge(withStem('stemless'))).toBeGreaterThan(3);
    expect(meanAge(since2012.filter((f) => f.glenoid === 'all_poly_keeled')) - meanAge(since2012.filter((f) => f.glenoid === 'all_poly_pegged'))).toBeGreaterThan(2);
  });

  it('has a few hundred procedures of late-joining hospitals and of patients who left', () => {
    within(all.filter((f) => f.entry > 0).length, 200, 700);
    within(all.filter((f) => f.procedure['follow_up_end'] !== null).length, 200, 700);
    expect(all.every((f) => f.exit > f.entry)).toBe(true);
  });

  it('loses some of the latest revisions to late reports', () => {
    const year = (from: string, to: string) => registry.rows.revisions.filter((r) => (r['revision_date'] as string) >= from && (r['revision_date'] as string) < to).length;
    expect(year('2024-12', '2025')).toBeLessThan(0.75 * (year('2024-01', '2024-07') / 6));
  });
});

describe('planted outliers stand out in raw rates', () => {
  const others = (group: readonly Followed[], of: readonly Followed[]) => {
    const own = new Set(group);
    return of.filter((f) => !own.has(f));
  };
  const visible = (group: readonly Followed[], of: readonly Followed[], planted: number) => {
    const revised = group.filter((f) => f.revised).length;
    const ratio = rate(group) / rate(others(group, of));
    // 95 % limits of the planted ratio by the number of revisions; a third off for the planted ones among the others and for chance mix
    within(ratio, (planted / 1.35) * Math.exp(-1.96 / Math.sqrt(revised)), planted * Math.exp(1.96 / Math.sqrt(revised)));
    expect(ratio * Math.exp(-1.96 / Math.sqrt(revised))).toBeGreaterThan(1.2);
  };

  it.each(truth.planted.components)('$role $model', ({ role, model, hazardRatio }) => {
    const group = all.filter((f) => f.models.includes(model));
    const place = role === 'glenoid' ? 'glenoid' : 'stem';
    visible(group, all.filter((f) => f[place] === group[0]![place]), hazardRatio);
  });
  it.each(truth.planted.hospitals)('hospital $hospital', ({ hospital, hazardRatio }) => {
    visible(all.filter((f) => f.procedure['hospital_id'] === hospital), all, hazardRatio);
  });
  it('surgeon', () => {
    const { surgeon, hazardRatio } = truth.planted.surgeon;
    visible(all.filter((f) => f.procedure['surgeon_id'] === surgeon), all, hazardRatio);
  });
});
