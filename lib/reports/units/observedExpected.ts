import type { UnitAnalysis, UnitCriterion, UnitLine, UnitsAnalysis } from '../../screening/units/unitsResult';
import type { UnitsQuestion } from '../../contract/unitsQuestion';
import { formatConfidence, formatCount, formatDecimal, formatExpected, formatList, formatP, formatPercent, formatRatio } from '../format';
import { reasonWords } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Row } from '../table';
import { count, derived, number, words } from '../tableCells';
import { unitNouns, wideningLabels } from './unitsQuestionWords';

/** `1st`, `2nd`, `13th`. */
export function ordinal(n: number): string {
  const last = n % 10, teen = n % 100 >= 11 && n % 100 <= 13;
  return `${n}${teen ? 'th' : last === 1 ? 'st' : last === 2 ? 'nd' : last === 3 ? 'rd' : 'th'}`;
}

/** `somewhere between the 12th and the 55th of 60`. */
export const rankWords = ({ rank }: UnitLine, ranked: number): string | null =>
  (rank === null ? null : rank.lower === rank.upper ? `the ${ordinal(rank.lower)} of ${ranked}` : `somewhere between the ${ordinal(rank.lower)} and the ${ordinal(rank.upper)} of ${ranked}`);

export const rankedIn = ({ units }: UnitsAnalysis): number => units.filter(({ rank }) => rank !== null).length;

/** Against its peers. What is drawn towards the mean, and the place, are read among all units. */
export function observedExpectedTable({ line, question, reference, adjustedFor }: UnitAnalysis, all: UnitsAnalysis, among: UnitLine | null): ProtectedTable {
  const { standardised: s } = line, confidence = formatConfidence(question.confidence), noun = unitNouns[question.kind];
  const empty = text('');
  const row = (label: string, ...cells: readonly Cell[]): Row => ({ cells: [text(label), ...cells] });
  const basis = s.status === 'ok' ? [s.observed] : [];
  const shrunken = among?.shrunken, rank = among === null ? null : rankWords(among, rankedIn(all));
  const own = s.status === 'ok'
    ? [
        row('Observed revisions', count(s.observed), empty, empty),
        row('Expected revisions', derived(s.expected, formatExpected, [line.procedures]), empty, empty),
        row('Observed / expected, exact limits', derived(s.ratio, formatRatio, basis), derived(s.lower, formatRatio, basis), derived(s.upper, formatRatio, basis)),
        row('The same, mid-P limits', derived(s.ratio, formatRatio, basis), derived(s.midP.lower, formatRatio, basis), derived(s.midP.upper, formatRatio, basis)),
        row('Chance of as many or more, were it like its peers (p, exact)', derived(s.p.higher.exact, formatP, basis), empty, empty),
        row('The same, mid-P', derived(s.p.higher.midP, formatP, basis), empty, empty),
      ]
    : [row('Observed / expected', { text: reasonWords(s.reason), basis: [line.procedures] }, empty, empty)];
  const drawn = shrunken?.status === 'ok'
    ? [
        row(`Shrunken towards all ${noun.several}`, derived(shrunken.mean, formatRatio, basis), derived(shrunken.lower, formatRatio, basis), derived(shrunken.upper, formatRatio, basis)),
        row(`Chance that the true ratio is above ${formatRatio(question.minimumRatio)}, %`, derived(100 * shrunken.above, formatPercent, basis), empty, empty),
      ]
    : [row(`Shrunken towards all ${noun.several}`, text(shrunken === undefined ? `not among all ${noun.several}` : reasonWords(shrunken.reason)), empty, empty)];
  return protectSmallCounts({
    name: 'observed-expected',
    title: 'Observed and expected revisions',
    method: `Expected: the peers’ hazard of revision, ${adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${formatList(adjustedFor.map(inSentence))}`}, over the follow-up of each of the unit’s procedures (indirect standardisation; Berry 1983, Biometrics 39:173), from ${formatCount(reference.procedures)} procedures. `
      + `Limits at ${confidence}: exact Poisson (Ulm 1990, Am J Epidemiol 131:373) and mid-P; the expected number is taken as known. Shrunken: gamma–Poisson (Clayton & Kaldor 1987, Biometrics 43:671) with a credible interval.`,
    columns: [words('Measure'), number('Value'), number('Lower'), number('Upper')],
    rows: [
      row('Procedures with their like among the peers', count(line.procedures), empty, empty), row('Other procedures, left out', count(line.leftOut), empty, empty),
      ...own, ...drawn,
      ...(rank === null ? [] : [row(`Place among ${noun.several}, from the lowest ratio`, { text: rank, basis }, empty, empty)]),
    ],
  });
}

const criterionLabels = (question: UnitsQuestion): Readonly<Record<UnitCriterion['name'], string>> => ({
  expected: 'Revisions expected, at least', ratio: 'Observed / expected, at least',
  limit: `Observed / expected, above the ${formatConfidence(question.alarmLevel)} limit, widened ${wideningLabels[question.widening]}`,
});
const criterionStatus = { met: 'yes', notMet: 'no', notApplied: 'could not be had' } as const;

/** Why the unit is asked about, or is not. */
export function criteriaTable(question: UnitsQuestion, { criteria, standardised }: UnitLine): ProtectedTable {
  const labels = criterionLabels(question), basis = standardised.status === 'ok' ? [standardised.observed] : [];
  return protectSmallCounts({
    name: 'rule',
    title: 'The rule by which a unit is asked about',
    method: 'All conditions must be met. They are this workbench’s own usual values unless you changed them, and are no standard.',
    columns: [words('Condition'), number('Bound'), number('Found'), words('Met')],
    rows: criteria.map(({ name, status, value, bound, reason }): Row => {
      const format = name === 'expected' ? formatDecimal : formatRatio, from = name === 'expected' ? [] : basis;
      return { cells: [text(labels[name]), derived(bound, format, []), reason === null ? derived(value, format, from) : text(reasonWords(reason)), { text: criterionStatus[status], basis: from }] };
    }),
  });
}
