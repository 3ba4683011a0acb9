import { describe, expect, it } from 'vitest';
import type { CompetingGroup, CompetingRatios, CompetingRisks } from '@/lib/analysis/chapters/competingRisksResult';
import type { Curve } from '@/lib/analysis/result';
import { View } from '@/lib/contract/view';
import { competingRisksContent } from '@/lib/reports/chapters/competingRisks';
import { curvesChoice } from '@/lib/reports/chapters/competingCurves';
import { competingCurvesTable } from '@/lib/reports/chapters/competingTables';
import { competingRatiosWords, deathsWords, grayWords, reasonsWords } from '@/lib/reports/chapters/competingWords';
import { stackFigure } from '@/lib/reports/chapters/stackFigure';
import { BlockSchema } from '@/lib/review/blockSchema';
import { estimate, pegsAndKeels, ratio } from '../pegsAndKeels';

const curve = (group: string, days: readonly number[], percent: readonly number[], atRisk = days.map((_, i) => 1000 - 10 * i)): Curve => ({
  group, days: Float64Array.from(days), percent: Float64Array.from(percent), lower: Float64Array.from(percent), upper: Float64Array.from(percent),
  atRisk: Float64Array.from(atRisk), stop: { day: days.at(-1) ?? 0, atRisk: 900, stopped: false }, thinFromDay: null,
});

const group = (key: string, label: string, part: Partial<CompetingGroup> = {}): CompetingGroup => {
  const days = [0, 400, 1500, 3653];
  return {
    group: key, label, procedures: 3160, events: { revision: 172, otherRevision: 0, death: 721 },
    curves: { ifNoneDied: curve(key, days, [0, 1, 3, 7.6]), revision: curve(key, days, [0, 1, 2.8, 6.5]), otherRevision: null, death: curve(key, days, [0, 2, 10, 27]) },
    atTimes: [
      { years: 5, atRisk: 2269, events: { revision: 88, otherRevision: 0, death: 386 }, ifNoneDied: estimate(3.2, 2.6, 3.9), revision: estimate(3, 2.4, 3.7), otherRevision: null, death: estimate(13, 12, 14), gap: 0.2 },
      { years: 10, atRisk: 1320, events: { revision: 172, otherRevision: 0, death: 721 }, ifNoneDied: estimate(7.6, 6.5, 8.8), revision: estimate(6.5, 5.6, 7.5), otherRevision: null, death: estimate(27, 26, 29), gap: 1.1 },
    ],
    reasons: [
      { reason: 'loosening', events: 75, curve: curve(key, days, [0, 0.4, 1.8, 4]), atTimes: [{ years: 10, events: 75, estimate: estimate(4, 3, 5) }] },
      { reason: 'other', events: 97, curve: curve(key, days, [0, 0.6, 1, 2.5]), atTimes: [{ years: 10, events: 97, estimate: estimate(2.5, 2, 3) }] },
    ],
    ...part,
  };
};
const test = { status: 'ok', chisq: 8.89, df: 1, p: 0.0029, procedures: 10_984, leftOut: 129 } as const;
const result = (part: Partial<CompetingRisks> = {}): CompetingRisks => ({
  status: 'ok', procedures: 11_113, events: 422, methods: [], notes: [], reference: 'all_poly_pegged',
  groups: [group('all_poly_pegged', 'All-polyethylene pegged', { atTimes: [] }), group('all_poly_keeled', 'All-polyethylene keeled')],
  gray: { revision: test, death: { ...test, chisq: 30.1, p: 4e-8 } },
  ratios: { status: 'notEstimable', reason: 'there is only one group' },
  reasons: [{ key: 'loosening', label: 'Loosening' }, { key: 'other', label: 'Other' }], gapPrompt: true, ...part,
});
const said = (sentences: readonly { readonly text: string }[]) => sentences.map(({ text }) => text).join(' ');
const view = (part: object = {}) => View.parse(part);

describe('a series of a hospital that has no deaths on record', () => {
  const alive = (key: string, label: string) => group(key, label, { events: { revision: 172, otherRevision: 0, death: 0 } });
  const without = result({ groups: [alive('all_poly_pegged', 'All-polyethylene pegged'), alive('all_poly_keeled', 'All-polyethylene keeled')], gapPrompt: false });

  it('is not told that none of the patients died, but what that does to the curves', () => {
    expect(said(deathsWords(without))).toBe('');
    expect(curvesChoice(pegsAndKeels(), without, view()).prompt).toMatch(/^No death among these patients is on record: either none has died, or the extract holds no deaths\..* too low where deaths are missing\.$/);
    expect(curvesChoice(pegsAndKeels(), result({ gapPrompt: false }), view()).prompt).toBeNull();
  });
});

describe('what the curves show', () => {
  it.each([
    ['censored', /^If patients did not die: .* question about the implant, and nobody’s own risk/, null],
    ['competing', /^As patients live: .* question about patients: an implant given to the old and frail looks good/, 2],
    ['both', /^Two questions side by side\. Thin lines, if patients did not die.*Thick lines, as patients live/, 4],
  ])('%s: says which question it answers', (deaths, explanation, lines) => {
    const choice = curvesChoice(pegsAndKeels(), result(), view({ deaths }));
    expect(choice.explanation).toMatch(explanation);
    expect(choice.figure?.lines.length ?? null).toBe(lines);
  });

  it('where both stand side by side, those if nobody died are thin and have no band', () => {
    const { figure } = curvesChoice(pegsAndKeels(), result(), view({ deaths: 'both' }));
    expect(figure?.lines.map(({ label, thin }) => [label, thin])).toEqual([
      ['All-polyethylene pegged, as patients live', false], ['All-polyethylene pegged, if patients did not die', true],
      ['All-polyethylene keeled, as patients live', false], ['All-polyethylene keeled, if patients did not die', true],
    ]);
  });

  it('warns where the two part by more than a point, with the latest time and both numbers', () => {
    expect(curvesChoice(pegsAndKeels(), result(), view()).prompt).toBe(
      'The two kinds of curve part by 1.1 points at 10 years in “All-polyethylene keeled” (7.6% if patients did not die, 6.5% as patients live). '
      + 'Say which one is meant: to judge an implant take the first, to tell patients what to expect the second.',
    );
    expect(curvesChoice(pegsAndKeels(), result({ gapPrompt: false }), view()).prompt).toBeNull();
  });

  it('gives them to take away at month ends, steps joined until each holds five revisions', () => {
    const days = [0, 10, 40, 70, 95], revised = curve('k', days, [0, 0.2, 0.6, 1.2, 1.2]), none = curve('k', days, [0, 0, 0, 0, 0]);
    const few = group('all_poly_keeled', 'All-polyethylene keeled', {
      events: { revision: 12, otherRevision: 0, death: 0 }, curves: { ifNoneDied: revised, revision: revised, otherRevision: null, death: none },
    });
    const { rows } = competingCurvesTable(result({ groups: [few] })); // 2, 4 and 6 revisions in the months
    expect(rows.map(({ cells }) => cells[1]?.value)).toEqual([0, 61, 91]);
  });
});

describe('in words', () => {
  it('Gray’s tests, and who is not in them', () => {
    expect(said(grayWords(result()))).toBe(
      'Gray’s test that the groups have one cumulative incidence, not adjusted; of revision: χ² 8.9 on 1 degree of freedom, p = 0.003; of death before revision: χ² 30.1 on 1 degree of freedom, p < 0.001. '
      + 'Where the groups’ patients do not die alike, the first of the two says what happened to patients, and little of the implants. '
      + '129 procedures that are followed from a later day only are not in these tests.',
    );
    const none = { status: 'notEstimable', reason: 'no deaths' } as const;
    expect(said(grayWords(result({ gray: { revision: test, death: none } })))).toContain('of death before revision: not to be had, as no deaths');
  });

  it('which reasons led, kept inside where one is of few people', () => {
    expect(said(reasonsWords(result()))).toContain('In “All-polyethylene keeled”, 172 revised: 97 for other reasons and 75 for loosening.');
    const [pegged, keeled] = result().groups as [CompetingGroup, CompetingGroup];
    const few = { ...keeled, reasons: keeled.reasons.map((reason, i) => (i === 0 ? { ...reason, events: 3 } : reason)) };
    expect(reasonsWords(result({ groups: [pegged, few] })).map(({ staysInside }) => staysInside)).toEqual([false, true]);
  });

  it.each([
    ['about the same', 1.48, 1.47, 'is about the same whether the dead leave the comparison (1.48) or stay in it (1.47).'],
    ['another one', 14.35, 12.34, 'goes from 14.35 to 12.34 when the dead stay in the comparison; the ratio for death is 1.08. The first is about implants, the second about patients.'],
  ])('what death does to the ratio: %s', (_, among, kept, words) => {
    const of = (value: number) => ratio({ estimate: estimate(value, value * 0.8, value * 1.2) });
    const ratios: CompetingRatios = {
      status: 'ok', adjustedFor: [], procedures: 11_113, leftOut: [], clusterLabel: null,
      groups: [{ group: 'all_poly_keeled', label: 'All-polyethylene keeled', revision: of(among), death: of(1.08), subdistribution: of(kept) }],
    };
    expect(said(competingRatiosWords(ratios))).toBe(`In “All-polyethylene keeled” the ratio ${words}`);
  });
});

describe('reasons one upon the other', () => {
  it('end at the percent revised for any of them, at every month end', () => {
    const { panels, valueTicks } = stackFigure(pegsAndKeels(), result(), view());
    const [lower, upper] = panels[1]!.layers as [typeof panels[0]['layers'][0], typeof panels[0]['layers'][0]];
    expect(upper.points).toHaveLength(121);
    upper.points.forEach(({ band: [from] }, i) => { expect(from).toBe(lower.points[i]!.band[1]); });
    expect(upper.points.at(-1)?.band[1]).toBeCloseTo(6.5, 12);
    expect(valueTicks.at(-1)).toBeGreaterThanOrEqual(6.5);
  });

  it('are withheld outside the page where a reason is of few people', () => {
    const few = group('all_poly_keeled', 'All-polyethylene keeled');
    const { panels } = stackFigure(pegsAndKeels(), result({ groups: [few, { ...few, reasons: few.reasons.map((r) => ({ ...r, events: 2 })) }] }), view());
    expect(panels.map(({ staysInside }) => staysInside)).toEqual([false, true]);
  });
});

it('lines of a reason with few revisions are not printed, nor the one that they could be computed from', () => {
  const keeled = group('all_poly_keeled', 'All-polyethylene keeled');
  const few = { ...keeled, reasons: keeled.reasons.map((reason, i) => (i === 0 ? { ...reason, events: 3 } : reason)) };
  const { blocks } = competingRisksContent(pegsAndKeels(), result({ groups: [result().groups[0]!, few] }), view());
  const panels = blocks.flatMap((block) => (block.kind === 'choice' ? block.options.flatMap((o) => o.blocks) : [])).flatMap((block) => (block.kind === 'panels' ? block.panels : []));
  expect(panels.map(({ lines, paper }) => [lines.length, paper.length])).toEqual([[2, 1], [2, 1]]);
});

describe('where all curves stop at once', () => {
  const stopped = (key: string, label: string) => {
    const of = group(key, label), none = curve(key, [], []);
    return { ...of, curves: { ...of.curves, revision: none, ifNoneDied: none, death: none }, reasons: of.reasons.map((reason) => ({ ...reason, curve: none })) };
  };
  const pegs = stopped('all_poly_pegged', 'All-polyethylene pegged'), keels = group('all_poly_keeled', 'All-polyethylene keeled');
  const reasonsOf = (of: CompetingRisks) => competingRisksContent(pegsAndKeels(), of, view()).blocks.flatMap((block) => (block.kind === 'choice' ? block.options.flatMap(({ blocks }) => blocks) : []));

  it('each reason by itself says why nothing is drawn; where one group can be followed nothing is said', () => {
    const nothing = (groups: readonly CompetingGroup[]) => reasonsOf(result({ groups })).flatMap((block) => (block.kind === 'panels' ? block.panels.map((panel) => panel.nothing) : []));
    expect(nothing([pegs, stopped('all_poly_keeled', 'All-polyethylene keeled')])).toEqual(['Too few at risk: nothing can be drawn', 'Too few at risk: nothing can be drawn']);
    expect(nothing([pegs, keels])).toEqual([undefined, undefined]);
  });

  it('one upon the other, the panel of a group says so, and comes back from a file of a case', () => {
    const stacks = reasonsOf(result({ groups: [pegs, keels] })).filter((block) => block.kind === 'stack');
    expect(stacks[0]?.figure.panels.map(({ nothing }) => nothing)).toEqual(['Too few at risk: nothing can be drawn', undefined]);
    for (const stack of stacks) expect(BlockSchema.parse(JSON.parse(JSON.stringify(stack)))).toEqual(JSON.parse(JSON.stringify(stack)));
  });
});
