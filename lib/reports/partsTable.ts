import type { DriverLevel } from '../screening/units/unitsResult';
import { isEstimate } from './estimate';
import { formatExpected, formatPoints, formatRatio } from './format';
import { text, type Cell, type Column } from './table';
import { count, derived, estimateCells, number, words } from './tableCells';

// Parts of a whole, each with what was observed and what expected.

export const partColumns: readonly Column[] = [
  words('Part'), number('Procedures'), number('Observed'), number('Expected'), number('Excess'), number('Observed / expected'), number('Lower'), number('Upper'),
];

/** All but the part's name. What is expected, and what could be computed back to it, gives few procedures away. */
export const partCells = ({ procedures, observed, expected, excess, ratio }: Pick<DriverLevel, 'procedures' | 'observed' | 'expected' | 'excess' | 'ratio'>): readonly Cell[] => [
  count(procedures), count(observed), derived(expected, formatExpected, [procedures]), derived(excess, formatPoints, [observed, procedures]),
  ...estimateCells(ratio, formatRatio, [observed, procedures]),
];

/** The ratio of those held against, part by part, where there is any. */
export function usualRatios(levels: readonly DriverLevel[], whose: 'Peers’' | 'Others’') {
  const known = levels.some(({ peersRatio }) => peersRatio !== null);
  return {
    columns: known ? [number(`${whose} ratio`)] : [],
    cells: ({ peersRatio }: DriverLevel): readonly Cell[] =>
      (!known ? [] : peersRatio !== null && isEstimate(peersRatio) ? [derived(peersRatio.value, formatRatio, [])] : [text('–')]),
    note: known ? ` ${whose} ratio: theirs in the same part, from the same reference; where it is high, such procedures are revised more everywhere.` : '',
  };
}
