import type { Drift } from '../../quality/patterns/drift';
import { percentOf, type Share } from '../../quality/share';
import { paragraph, type Block } from '../blocks';
import { formatCount, formatP, formatPercent } from '../format';
import { finished } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell } from '../table';
import { derived, number, words } from '../tableCells';

const shareCell = (share: Share): Cell => (share.of === 0
  ? text('–')
  : { ...derived(percentOf(share), formatPercent, [share.count, share.of - share.count]), shade: share.count / share.of });
const joint = (name: string): string => name[0]!.toUpperCase() + name.slice(1);

export function driftBlocks({ years, fields, changes, compared }: Drift): readonly Block[] {
  const rows = fields.flatMap(({ label, joint: of, other, notRecorded }) => [
    ...(other === null || other.every(({ count }) => count === 0) ? [] : [{ cells: [text(`${label}: other`), text(joint(of)), ...other.map(shareCell)] }]),
    ...(notRecorded.every(({ count }) => count === 0) ? [] : [{ cells: [text(`${label}: not recorded`), text(joint(of)), ...notRecorded.map(shareCell)] }]),
  ]);
  const method = 'χ² test of all codes of two years that follow each other, each with at least 50 records (Pearson 1900); p-values adjusted over all comparisons (Benjamini & Hochberg 1995, J R Stat Soc B 57:289). Listed: adjusted p up to 0.01, and the code that changed most by at least 10 percentage points, “other” and not recorded by at least 5; bounds of this workbench’s own choice.';
  return [
    ...paragraph(finished([{
      text: changes.length === 0
        ? `From one year to the next no coded field changed suddenly (${formatCount(compared)} comparisons).`
        : `${changes.length === 1 ? 'One sudden change' : `${formatCount(changes.length)} sudden changes`} from one year to the next in ${formatCount(compared)} comparisons: a new form, a new code list, or a change of practice.`, basis: [],
    }])),
    ...(changes.length === 0 ? [] : [{
      kind: 'table' as const, folded: false, table: protectSmallCounts({
        name: 'sudden-changes', title: 'Codes that changed from one year to the next', method,
        columns: [words('Field'), words('Joint'), words('Years'), words('Changed most'), number('Before, %'), number('After, %'), number('p, adjusted')],
        rows: changes.map(({ label, joint: of, year, code, before, after, adjustedP }) => ({
          cells: [
            text(label), text(joint(of)), text(`${year - 1} to ${year}`), text(code), derived(percentOf(before), formatPercent, [before.count]),
            derived(percentOf(after), formatPercent, [after.count]), derived(adjustedP, formatP, [before.count, after.count]),
          ],
        })),
      }),
    }]),
    ...(rows.length === 0 ? [] : [{
      kind: 'table' as const, folded: false, table: protectSmallCounts({
        name: 'codes-by-year', title: '“Other” and not recorded by year, %',
        method: 'Percent of the procedures of the year; of the first revisions of the year for the reason. The darker, the more. Rows without any are left out.',
        columns: [words('Field'), words('Joint'), ...years.map((year) => number(String(year)))], rows,
      }),
    }]),
  ];
}
