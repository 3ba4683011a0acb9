import type { OwnCase } from '../../screening/units/unitsResult';
import { formatDate, formatDaysAsYears } from '../format';
import { protectSmallCounts } from '../smallCounts';
import type { Cell, ProtectedTable } from '../table';
import { number, words } from '../tableCells';

/** Each row is one person: none of it leaves the page. */
const ofOne = (text: string, value?: number): Cell => ({ text, basis: [1], ...(value !== undefined && { value }) });

/** The revised procedures of a unit, to be checked against its own records. */
export const ownCasesTable = (cases: readonly OwnCase[]): ProtectedTable => protectSmallCounts({
  name: 'own-cases',
  title: 'The unit’s revised procedures',
  method: 'In the order of surgery, by the keys of the registry, for a check against the unit’s own records: is the side right, was it revised at all, is the reason right, is it our patient? They stay on the page: none is printed or saved.',
  columns: [words('Procedure'), words('Date of surgery'), number('Years to revision'), words('Kind of revision'), words('Reason')],
  rows: [...cases].sort((a, b) => a.procedureDate.localeCompare(b.procedureDate)).map(({ procedureId, procedureDate, days, kind, reason }) => ({
    cells: [ofOne(procedureId), ofOne(formatDate(procedureDate)), ofOne(formatDaysAsYears(days), days), ofOne(kind), ofOne(reason)],
  })),
});
