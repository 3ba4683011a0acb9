import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '@/lib/analysis/analyse';
import type { AnsweredCurves, AnsweredRatios } from '@/lib/analysis/result';
import { openingQuestion } from '@/lib/contract/openingQuestion';
import { Question } from '@/lib/contract/question';
import { View } from '@/lib/contract/view';
import type { LoadedExtract } from '@/lib/engine/loadedExtract';
import { comparisonReport } from '@/lib/reports/comparisonReport';
import { continued, firstRatios, firstReport } from '@/lib/reports/firstReport';
import { openingReport } from '@/lib/site/openingReport';
import { loadSample } from '../analysis/sampleExtract';

let extract: LoadedExtract;
beforeAll(async () => { extract = await loadSample(); });
afterAll(async () => { await extract.database.close(); });

describe('how an answer begins', () => {
  it.each([
    ['adjusted, with patients as clusters', { adjust: ['age', 'sex'] }], ['not adjusted', { cluster: 'none' }], ['stratified, with hospitals as clusters', { strata: ['sex'], cluster: 'hospital' }],
  ])('is what the whole answer says: %s', async (_, asked) => {
    const begun: AnsweredCurves[] = [], goneOn: AnsweredRatios[] = [], view = View.parse({});
    const analysis = await analyse(extract, Question.parse(asked), {
      onCurves: (answered) => { expect(goneOn).toEqual([]); begun.push(answered); }, onRatios: (answered) => { goneOn.push(answered); },
    });
    if (analysis.status !== 'ok' || analysis.adjusted.status !== 'ok') throw new Error('the sample answers this');
    expect([begun.length, goneOn.length]).toEqual([1, 1]);
    const first = firstReport(begun[0]!, view), ratios = firstRatios(goneOn[0]!), whole = comparisonReport(analysis, view);
    if (whole.status !== 'ok') throw new Error('the sample answers this');
    const { proportionalHazards, groupsProportional, ...untested } = analysis.adjusted;
    expect(goneOn[0]!.adjusted).toEqual(untested);
    expect([proportionalHazards, groupsProportional]).not.toContain(undefined);
    const { status, figures, tables, ratios: none, ...words } = first;
    expect([status, none]).toEqual(['first', null]);
    expect(whole).toMatchObject(words);
    expect(figures.curves).toEqual(whole.figures.curves);
    expect(whole.tables).toMatchObject(tables); // the curves as numbers, to take away, come with the rest
    expect(Object.keys(tables)).toEqual(['percent', 'rates']);
    expect(whole.logRank).toBe(ratios.logRank);
    expect(continued(first, whole)).toEqual(whole);
    expect(ratios.forest.parts[0]!.rows.map(({ text, counts }) => [text, counts])).toEqual(whole.figures.forest.parts.find(({ key }) => key === 'all-times')!.rows.map(({ text, counts }) => [text, counts]));
  });

  it('goes on once its curves are shown, so that drawing them has a core of its own, and ends where a newer question comes first', async () => {
    const goneOn: AnsweredRatios[] = [], newer = new AbortController();
    let show = (): void => undefined, curves = 0;
    const ask = (signal?: AbortSignal) => analyse(extract, Question.parse({ adjust: ['age'] }), {
      ...(signal !== undefined && { signal }),
      onCurves: () => new Promise((resolve) => { curves++; show = resolve; }), onRatios: (answered) => { goneOn.push(answered); },
    });
    const answer = ask();
    await expect.poll(() => curves).toBe(1);
    await new Promise((resolve) => { setTimeout(resolve, 50); });
    expect(goneOn).toEqual([]);
    show();
    await expect(answer).resolves.toMatchObject({ status: 'ok' });
    expect(goneOn).toHaveLength(1);

    const older = ask(newer.signal);
    await expect.poll(() => curves).toBe(2);
    newer.abort(new Error('asked anew'));
    show();
    await expect(older).rejects.toThrow('asked anew');
    expect(goneOn).toHaveLength(1);
  });

  it('is the same after a way through JSON: the site keeps that of the opening question', async () => {
    const opening = await openingReport(extract);
    expect(opening.question).toEqual(openingQuestion);
    expect(JSON.parse(JSON.stringify(opening))).toEqual(opening);
  });

  it('is the curve alone where there is nothing to compare', async () => {
    const begun: AnsweredCurves[] = [], goneOn: AnsweredRatios[] = [];
    await analyse(extract, Question.parse({ groups: ['all_poly_pegged'] }), { onCurves: (answered) => { begun.push(answered); }, onRatios: (answered) => { goneOn.push(answered); } });
    expect(begun.map(({ curves }) => curves.length)).toEqual([1]);
    expect(goneOn).toEqual([]);
  });
});
