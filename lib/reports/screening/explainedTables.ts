import { labelOf, roleCodes } from '../../contract/codes';
import type { ComponentExplained, Concentration, Partners } from '../../screening/components/explainedResult';
import type { Driver } from '../../screening/units/unitsResult';
import { formatConfidence, formatCount, formatDecimal, formatPercent, formatRatio } from '../format';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type Column, type ProtectedTable, type Row } from '../table';
import { count, derived, estimateCells, number, plain, words } from '../tableCells';
import { roleWords } from './screeningQuestionWords';

const formatExcess = (value: number): string => (value < 0 ? `−${formatDecimal(-value)}` : formatDecimal(value));
const parts: readonly Column[] = [
  words('Part'), number('Procedures'), number('Observed'), number('Expected'), number('Excess'), number('Observed / expected'), number('Lower'), number('Upper'),
];
const method = (confidence: number, more: string | null): string =>
  `Expected: the hazard of all others of its kind, adjusted as the question says. Excess: observed minus expected; the parts add up to the whole. Exact Poisson limits at ${formatConfidence(confidence)}.${more === null ? '' : ` ${more}`}`;

type Part = Pick<Driver['levels'][number], 'procedures' | 'observed' | 'expected' | 'excess' | 'ratio'>;
const cellsOf = ({ procedures, observed, expected, excess, ratio }: Part): readonly Cell[] => [
  count(procedures), count(observed), derived(expected, formatDecimal, [procedures]), derived(excess, formatExcess, [observed]), ...estimateCells(ratio, formatRatio, [observed]),
];

/** Users are named on the page only, and only when a person asks for it. */
const userCell = (name: Driver['name'], label: string, names: boolean): Cell | null => {
  if (name !== 'hospital' && name !== 'surgeon') return null;
  return { text: names ? label : `a ${name}`, outside: `a ${name}` };
};

export const driverTable = ({ name, label, levels, note }: Driver, confidence: number, names: boolean): ProtectedTable => protectSmallCounts({
  name: `by-${name}`,
  title: label,
  method: method(confidence, note),
  blocksAddUp: true,
  columns: [...parts, number(name === 'reason' ? 'Of the others’ revisions, %' : 'Of the others’ procedures, %')],
  rows: levels.map((level): Row => ({ block: 'whole', cells: [userCell(name, level.label, names) ?? text(level.label), ...cellsOf(level), derived(level.peersPercent, formatPercent, [])] })),
});

export const partnerTable = ({ role, driver, flagged }: Partners, confidence: number): ProtectedTable => protectSmallCounts({
  name: `with-${role.replace('_', '-')}`,
  title: `With which ${roleWords(role)} it was used`,
  method: method(confidence, driver.note),
  blocksAddUp: true,
  columns: [...parts, number('Of the others’ procedures, %'), words('Flagged itself')],
  rows: driver.levels.map((level): Row => ({
    block: 'whole', cells: [text(level.label), ...cellsOf(level), derived(level.peersPercent, formatPercent, []), text(flagged.includes(level.key) ? 'yes' : '')],
  })),
});

export const concentrationTable = ({ whole, concentration, question }: ComponentExplained): ProtectedTable => protectSmallCounts({
  name: 'concentration',
  title: 'The largest users and all others',
  method: method(question.criteria.confidence, 'The largest user is that with most procedures. Shares are of the model’s own procedures and revisions.'),
  columns: [...parts, number('Of its procedures, %'), number('Of its revisions, %'), number('Users of the model'), number('Users of others')],
  rows: [
    { cells: [text(whole.label), ...cellsOf(whole), text(''), text(''), text(''), text('')] },
    ...concentration.flatMap(usersRows),
  ],
});

function usersRows({ unit, largest, elsewhere, shareOfProcedures, shareOfRevisions, users, othersUsers }: Concentration): readonly Row[] {
  const row = (part: typeof largest, ofProcedures: number, ofRevisions: number, ends: readonly Cell[]): Row => ({
    block: unit,
    cells: [text(part.label), ...cellsOf(part), derived(100 * ofProcedures, formatPercent, [part.procedures]), derived(100 * ofRevisions, formatPercent, [part.observed]), ...ends],
  });
  return [
    row(largest, shareOfProcedures, shareOfRevisions, [plain(users, formatCount), plain(othersUsers, formatCount)]),
    row(elsewhere, 1 - shareOfProcedures, 1 - shareOfRevisions, [text(''), text('')]),
  ];
}

export const partnerTitle = ({ role }: Partners): string => labelOf(roleCodes, role);
