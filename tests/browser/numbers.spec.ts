import { readFileSync } from 'node:fs';
import type { Analysis, CoxResult } from '../../lib/analysis/result';
import { openingQuestion } from '../../lib/contract/openingQuestion';
import { commandLine } from './commandLine';
import { onThePage, type Numbers } from './numbersOnThePage';
import { expect, open, test } from './workbench';

const close = (found: readonly number[], wanted: readonly number[], digits: number): void => {
  expect(found).toHaveLength(wanted.length);
  found.forEach((value, i) => { expect(Math.abs(value - wanted[i]!)).toBeLessThanOrEqual(10 ** -digits * Math.abs(wanted[i]!)); });
};

function expectSame(found: Numbers, wanted: Numbers, digits: number): void {
  expect(found.percents).toHaveLength(wanted.percents.length);
  close(found.percents.flat(), wanted.percents.flat(), digits);
  close(found.ratios.flat(), wanted.ratios.flat(), digits);
  close(found.p, wanted.p, digits - 1); // a p-value moves about z² times as much as its z: 16 times here
}

test('the numbers on the screen are those of the command line', async ({ page }) => {
  const printed = commandLine(openingQuestion, 'none');
  await open(page);
  const { atTimes, adjusted, unadjusted } = await printed as Analysis;
  const ratiosOf = (cox: Analysis['adjusted']) => (cox as CoxResult).ratios;
  const [own, ...others] = ratiosOf(adjusted), rows = [own!, ...ratiosOf(unadjusted), ...others];
  const limits = (estimate: object) => { const { value, lower, upper } = estimate as { value: number; lower: number; upper: number }; return [value, lower, upper]; };
  expectSame(await onThePage(page), {
    percents: atTimes.map(({ atRisk, events, estimate }) => [atRisk, events, ...limits(estimate)]),
    ratios: rows.map((ratio) => limits(ratio.estimate)),
    p: rows.map((ratio) => ratio.p),
  }, 12);
});

test('the numbers on the screen are those of R', async ({ page }) => {
  // tests/reference/sampleRegistry.R: R 4.2.2, survival 3.5-3, from the CSV files of the same extract; `npm run reference` runs it anew.
  interface Model { readonly ratio: readonly (readonly number[])[]; readonly p: readonly number[] }
  interface At { readonly years: number; readonly atRisk: number; readonly events: number; readonly percent: readonly number[] }
  const { cases: [recorded] } = JSON.parse(readFileSync(new URL('../reference/fixtures/sampleRegistry.json', import.meta.url), 'utf8')) as {
    cases: readonly { readonly input: { readonly version: string }; readonly expected: { readonly groups: readonly { readonly at: readonly At[] }[]; readonly adjusted: Model; readonly unadjusted: Model } }[];
  };
  const { input: { version }, expected: { groups, adjusted, unadjusted } } = recorded!;
  await open(page);
  await expect(page.locator('.answer')).toContainText(version);
  const withPlain = <T>(own: readonly T[], plain: readonly T[]): readonly T[] => [own[0]!, ...plain, ...own.slice(1)];
  expectSame(await onThePage(page), {
    percents: groups[0]!.at.flatMap((_, t) => groups.map(({ at }) => [at[t]!.atRisk, at[t]!.events, ...at[t]!.percent])),
    ratios: withPlain(adjusted.ratio, unadjusted.ratio),
    p: withPlain(adjusted.p, unadjusted.p),
  }, 8);
});
