import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { FirstAnswer } from '@/lib/analysis/result';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { Question } from '@/lib/contract/question';
import { View } from '@/lib/contract/view';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { comparisonReport } from '@/lib/reports/comparisonReport';
import { firstReport } from '@/lib/reports/firstReport';
import { openingReport } from '@/lib/site/openingReport';
import { loadSample } from '../analysis/sampleExtract';

let extract: LoadedExtract;
beforeAll(async () => { extract = await loadSample(); });
afterAll(async () => { await extract.database.close(); });

describe('how an answer begins', () => {
  it.each([
    ['adjusted, with patients as clusters', { adjust: ['age', 'sex'] }], ['not adjusted', { cluster: 'none' }], ['stratified, with hospitals as clusters', { strata: ['sex'], cluster: 'hospital' }],
  ])('is what the whole answer says: %s', async (_, asked) => {
    const told: FirstAnswer[] = [], view = View.parse({});
    const analysis = await analyse(extract, Question.parse(asked), { onFirst: (first) => { told.push(first); } });
    if (analysis.status !== 'ok' || analysis.adjusted.status !== 'ok') throw new Error('the sample answers this');
    expect(told).toHaveLength(1);
    const first = firstReport(told[0]!, view), whole = comparisonReport(analysis, view);
    if (whole.status !== 'ok') throw new Error('the sample answers this');
    const { proportionalHazards, groupsProportional, ...ratios } = analysis.adjusted;
    expect(told[0]!.adjusted).toEqual(ratios);
    expect([proportionalHazards, groupsProportional]).not.toContain(undefined);
    const { status, figures, tables, ...words } = first;
    expect(status).toBe('first');
    expect(whole).toMatchObject(words);
    expect(figures.curves).toEqual(whole.figures.curves);
    expect(whole.tables).toMatchObject({ percent: tables.percent, curves: tables.curves, rates: tables.rates });
    expect(figures.forest.parts[0]!.rows.map(({ text, counts }) => [text, counts])).toEqual(whole.figures.forest.parts.find(({ key }) => key === 'all-times')!.rows.map(({ text, counts }) => [text, counts]));
  });

  it('is the same after a way through JSON: the site keeps that of the opening question', async () => {
    const opening = await openingReport(extract);
    expect(opening.question).toEqual(openingQuestion);
    expect(JSON.parse(JSON.stringify(opening))).toEqual(opening);
  });

  it('says nothing first where there is nothing to compare', async () => {
    const told: FirstAnswer[] = [];
    await analyse(extract, Question.parse({ groups: ['all_poly_pegged'] }), { onFirst: (first) => { told.push(first); } });
    expect(told).toEqual([]);
  });
});
