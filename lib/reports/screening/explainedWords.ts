import type { ComponentExplained, Partners } from '../../screening/components/explainedResult';
import type { Driver, DriverLevel } from '../../screening/units/unitsResult';
import { isEstimate } from '../estimate';
import { formatCount, formatDecimal, formatList, formatPercent, formatRatio } from '../format';
import { quoted, ratioWords, type Words } from '../phrases';
import { poissonLimits } from '../../stats/rates';
import { inSentence } from '../questionWords';
import { roleWords } from './screeningQuestionWords';

const imbalance = 0.1; // absolute standardised difference; Austin 2009, Stat Med 28:3083
const concentrated = 0.5; // share of revisions at one user; common practice, no source
const fewest = 5; // revisions from which a part is named in words

const total = (all: ComponentExplained): Words => {
  const { whole, component, adjustedFor, question: { criteria: { confidence } } } = all, left = component.procedures - whole.procedures;
  return {
    text: `Of ${formatCount(whole.procedures)} procedures with the model ${formatCount(whole.observed)} were revised, where the others’ hazard, ${adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${formatList(adjustedFor.map(inSentence))}`}, lets one expect ${formatDecimal(whole.expected)}`
      + `${isEstimate(whole.ratio) ? `: ${ratioWords(whole.ratio, confidence)} times as many` : ''}.${left > 0 ? ` ${formatCount(left)} more lack a covariate or their like among the others, and are left out here.` : ''}`,
    basis: left > 0 ? [whole.observed, left] : [whole.observed],
  };
};

function concentrationWords({ concentration, question: { criteria: { confidence } } }: ComponentExplained): readonly Words[] {
  return concentration.map(({ unit, users, largest, elsewhere, shareOfProcedures, shareOfRevisions }): Words => {
    const stands = isEstimate(elsewhere.ratio) && elsewhere.ratio.lower > 1;
    return {
      text: `The ${unit} that used it most, of ${formatCount(users)}, did ${formatPercent(100 * shareOfProcedures)}% of its procedures and has ${formatPercent(100 * shareOfRevisions)}% of its revisions; `
        + (isEstimate(elsewhere.ratio) ? `elsewhere the ratio of observed to expected is ${ratioWords(elsewhere.ratio, confidence)}` : 'elsewhere there is no ratio')
        + `${shareOfRevisions >= concentrated ? `: most of it is one ${unit}’s, look there first` : stands ? `: it is not one ${unit}’s alone` : ''}.`,
      basis: [largest.observed, largest.procedures, elsewhere.observed],
    };
  });
}

const standsOut = ({ observed, ratio }: DriverLevel): boolean => observed >= fewest && isEstimate(ratio) && ratio.lower > 1;
const named = (levels: readonly DriverLevel[]): string => formatList(levels.map((level) => `${quoted(level)} (${formatCount(level.observed)} where ${formatDecimal(level.expected)} were expected)`));

function partsWords(driver: Driver, what: string): readonly Words[] {
  const out = driver.levels.filter(standsOut), from = driver.levels.filter(({ observed }) => observed >= fewest);
  if (from.length < 2) return [];
  if (out.length === 0) return [{ text: `By ${what}, no part stands out by more than chance.`, basis: [] }];
  return [{
    text: out.length === from.length ? `By ${what}, more than expected was seen in every part with ${fewest} revisions or more: ${named(out)}.` : `By ${what}, more than expected was seen in ${named(out)}.`,
    basis: out.map(({ observed }) => observed),
  }];
}

function partnersWords({ role, driver, flagged }: Partners, confidence: number): readonly Words[] {
  const known = driver.levels.filter(({ key }) => key !== 'none'), main = known[0], all = known.reduce((sum, { procedures }) => sum + procedures, 0);
  const both = known.filter(({ key }) => flagged.includes(key));
  return [
    ...(main !== undefined && main.procedures > 0.8 * all
      ? [{
          text: `Its ${roleWords(role)} was nearly always ${main.label}, which ${flagged.includes(main.key) ? 'is flagged itself' : 'over all its uses is not flagged'}: these procedures alone cannot tell the two apart.`,
          basis: [main.procedures, all - main.procedures],
        }]
      : []),
    ...both.map((level): Words => {
      const without = driver.levels.filter((other) => other !== level), observed = without.reduce((sum, l) => sum + l.observed, 0), expected = without.reduce((sum, l) => sum + l.expected, 0);
      const { lower, upper } = poissonLimits(observed, confidence), ratio = { value: observed / expected, lower: lower / expected, upper: upper / expected };
      return {
        text: `The ${roleWords(role)} ${level.label}, in ${formatCount(level.procedures)} of its procedures, is flagged itself; without it ${formatCount(observed)} were revised where ${formatDecimal(expected)} were expected${expected > 0 ? `: ${ratioWords(ratio, confidence)} times as many` : ''}.`,
        basis: [level.procedures, level.observed, observed],
      };
    }),
  ];
}

function caseMixWords({ caseMix, comparison: { unadjusted, adjusted }, question: { criteria: { confidence } } }: ComponentExplained): readonly Words[] {
  const unlike = caseMix.filter((mix) => mix.largestDifference > imbalance).sort((a, b) => b.largestDifference - a.largestDifference).slice(0, 3);
  const text = unlike.length === 0
    ? 'Those who got it are like those who got the others in every recorded characteristic (standardised differences up to 0.1); they may differ in what is not recorded.'
    : `Those who got it differ from those who got the others most in ${formatList(unlike.map((mix) => `${inSentence(mix.label)} (${Number.isFinite(mix.largestDifference) ? formatRatio(mix.largestDifference) : 'all against none'})`))}; in brackets the standardised difference.`;
  if ('status' in unadjusted || adjusted.status !== 'ok' || !isEstimate(unadjusted.estimate) || !isEstimate(adjusted.ratio.estimate)) return [{ text, basis: [] }];
  return [
    { text, basis: [] },
    { text: `Adjustment moves the hazard ratio from ${ratioWords(unadjusted.estimate, confidence)} to ${ratioWords(adjusted.ratio.estimate, confidence)}.`, basis: [adjusted.ratio.events] },
  ];
}

/** What is to be looked at before the model itself: a paragraph each. */
export function explainedWords(all: ComponentExplained): readonly (readonly Words[])[] {
  const driver = (name: Driver['name']) => all.drivers.find((d) => d.name === name), of = (name: Driver['name'], what: string) => { const found = driver(name); return found === undefined ? [] : partsWords(found, what); };
  return [
    [total(all), ...concentrationWords(all)],
    [...of('reason', 'reason'), ...of('period', 'period of surgery'), ...of('learning', 'time since its hospital began to use it')],
    all.partners.flatMap((partners) => partnersWords(partners, all.question.criteria.confidence)),
    caseMixWords(all),
  ].filter((paragraph) => paragraph.length > 0);
}
