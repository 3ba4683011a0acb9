import type { UnitAnalysis, YearOfSurgery } from '../../screening/units/unitsResult';
import type { HazardRatio } from '../../analysis/result';
import { caution, type Block } from '../blocks';
import { forest, forestRow, type Place } from '../forest';
import { formatConfidence, formatExpected, formatRatio } from '../format';
import { hiddenRows, protectSmallCounts } from '../smallCounts';
import type { ProtectedTable, Row } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';

const immatureYears = 2; // before the closing date; common practice, no source

const isImmature = (year: number, closingDate: string): boolean => year > Number(closingDate.slice(0, 4)) - immatureYears;

function yearsTable({ years, question, source }: UnitAnalysis): ProtectedTable {
  return protectSmallCounts({
    name: 'by-year',
    title: 'Observed and expected by year of surgery',
    method: `Expected over the follow-up that each year’s procedures have had so far. Exact Poisson limits at ${formatConfidence(question.confidence)}.`,
    blocksAddUp: true,
    columns: [words('Year of surgery'), number('Procedures'), number('Observed'), number('Expected'), number('Observed / expected'), number('Lower'), number('Upper')],
    rows: years.map(({ year, procedures, observed, expected, ratio }): Row => ({
      block: 'years',
      cells: [
        { value: year, text: isImmature(year, source.closingDate) ? `${year} (immature)` : String(year) },
        count(procedures), count(observed), derived(expected, formatExpected, [procedures]), ...estimateCells(ratio, formatRatio, [observed]),
      ],
    })),
  });
}

/** A year in the form that ratios are drawn in. */
const asRatio = ({ year, procedures, observed, ratio }: YearOfSurgery): HazardRatio => ({
  term: 'year', level: String(year), label: String(year), against: null, procedures, events: observed, estimate: ratio, p: NaN,
});

export function trendBlocks(analysis: UnitAnalysis): readonly Block[] {
  const { years, source } = analysis;
  if (years.length === 0) return [];
  const rows = (immature: boolean) => years.filter(({ year }) => isImmature(year, source.closingDate) === immature);
  const table = yearsTable(analysis), hidden = hiddenRows(table), row = (year: YearOfSurgery, place: Place) => ({ ...forestRow([], asRatio(year), place, { withheld: hidden.has(years.indexOf(year)) }), p: '' });
  const figure = forest((place) => [
    { key: 'mature', heading: 'Year of surgery', note: null, demoted: false, rows: rows(false).map((year) => row(year, place)) },
    { key: 'immature', heading: 'Latest years', note: 'Short follow-up, and revisions reach a registry late.', demoted: true, rows: rows(true).map((year) => row(year, place)) },
  ].filter((part) => part.rows.length > 0), { row: 'Year', counts: 'Revised', ratio: 'Observed / expected' });
  return [
    { kind: 'forest', title: 'Observed / expected by year of surgery', figure, table },
    caution(`Single years are small, and the years since ${Number(source.closingDate.slice(0, 4)) - immatureYears + 1} are immature: their few revisions are early ones and not all have been reported. A low ratio there is not yet an improvement.`),
  ];
}
