import { labelOf, roleCodes } from '../../contract/codes';
import type { ComponentExplained, Concentration, Partners } from '../../screening/components/explainedResult';
import type { Driver } from '../../screening/units/unitsResult';
import { formatConfidence, formatCount, formatPercent } from '../format';
import { partCells, partColumns, usualRatios } from '../partsTable';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Relation, type Row } from '../table';
import { derived, number, plain, words } from '../tableCells';
import { roleWords } from './screeningQuestionWords';

const method = (confidence: number, more: string | null): string =>
  `Expected: the hazard of all others of its kind, adjusted as the question says. Excess: observed minus expected; the parts add up to the whole. Exact Poisson limits at ${formatConfidence(confidence)}.${more === null ? '' : ` ${more}`}`;

/** Users are named on the page only, and only when a person asks for it. */
const userCell = (name: Driver['name'], label: string, names: boolean): Cell | null => {
  if (name !== 'hospital' && name !== 'surgeon') return null;
  return { text: names ? label : `a ${name}`, outside: `a ${name}` };
};

export function driverTable({ name, label, levels, note }: Driver, confidence: number, names: boolean): ProtectedTable {
  const usual = usualRatios(levels, 'Others’');
  return protectSmallCounts({
    name: `by-${name}`,
    title: label,
    method: `${method(confidence, note)}${usual.note}`,
    blocksAddUp: true,
    columns: [...partColumns, ...usual.columns, number(name === 'reason' ? 'Of the others’ revisions, %' : 'Of the others’ procedures, %')],
    rows: levels.map((level): Row => ({
      block: 'whole',
      cells: [userCell(name, level.label, names) ?? text(level.label), ...partCells(level), ...usual.cells(level), derived(level.peersPercent, formatPercent, [])],
    })),
  });
}

export function partnerTable({ role, driver, flagged }: Partners, confidence: number): ProtectedTable {
  const usual = usualRatios(driver.levels, 'Others’');
  return protectSmallCounts({
    name: `with-${role.replace('_', '-')}`,
    title: `With which ${roleWords(role)} it was used`,
    method: `${method(confidence, driver.note)}${usual.note}`,
    blocksAddUp: true,
    columns: [...partColumns, ...usual.columns, number('Of the others’ procedures, %'), words('Flagged itself')],
    rows: driver.levels.map((level): Row => ({
      block: 'whole',
      cells: [text(level.label), ...partCells(level), ...usual.cells(level), derived(level.peersPercent, formatPercent, []), text(flagged.includes(level.key) ? 'yes' : '')],
    })),
  });
}

export const concentrationTable = ({ whole, concentration, question }: ComponentExplained): ProtectedTable => protectSmallCounts({
  name: 'concentration',
  title: 'The largest users and all others',
  method: method(question.criteria.confidence, 'The largest user is that with most procedures. Shares are of the model’s own procedures and revisions.'),
  columns: [...partColumns, number('Of its procedures, %'), number('Of its revisions, %'), number('Users of the model'), number('Users of others')],
  rows: [
    { cells: [text(whole.label), ...partCells(whole), text(''), text(''), text(''), text('')] },
    ...concentration.flatMap(usersRows),
  ],
  relations: concentration.flatMap((_, u) => [1, 2].map((column): Relation => ({ whole: [0, column], parts: [[1 + 2 * u, column], [2 + 2 * u, column]] }))),
});

function usersRows({ unit, largest, elsewhere, shareOfProcedures, shareOfRevisions, users, othersUsers }: Concentration): readonly Row[] {
  const row = (part: typeof largest, ofProcedures: number, ofRevisions: number, ends: readonly Cell[]): Row => ({
    block: unit,
    cells: [text(part.label), ...partCells(part), derived(100 * ofProcedures, formatPercent, [part.procedures]), derived(100 * ofRevisions, formatPercent, [part.observed]), ...ends],
  });
  return [
    row(largest, shareOfProcedures, shareOfRevisions, [plain(users, formatCount), plain(othersUsers, formatCount)]),
    row(elsewhere, 1 - shareOfProcedures, 1 - shareOfRevisions, [text(''), text('')]),
  ];
}

export const partnerTitle = ({ role }: Partners): string => labelOf(roleCodes, role);
