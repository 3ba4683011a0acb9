import type { LinkCounts, Linkage } from '../../quality/linkage/linkage';
import { paragraph, type Block } from '../blocks';
import { formatCount, formatPercent } from '../format';
import { finished, type Words } from '../phrases';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable } from '../table';
import { count, derived, number, words } from '../tableCells';
import { hospitalCell } from './placeCells';
import type { QualityView } from './qualityView';

const share = (n: number, of: number): Cell => (of === 0 ? text('–') : derived((100 * n) / of, formatPercent, [n, of - n]));
const percent = (n: number, of: number): string => `${formatPercent((100 * n) / of)}%`;

export function linkageWords({ read, all, ambiguous, bilateral, deaths }: Linkage): readonly Words[] {
  if (read === 0) return [{ text: 'The files hold no re-operation: every procedure counts as not revised.', basis: [] }];
  const lost = read - all.linked;
  return [
    { text: `Of ${formatCount(read)} re-operations in the files ${formatCount(all.linked)} (${percent(all.linked, read)}) were linked to a primary procedure: ${formatCount(all.byId)} by the procedure they name, ${formatCount(all.bySide)} by patient, joint and side.`, basis: [all.byId, all.bySide, lost] },
    lost === 0
      ? { text: 'None was set aside.', basis: [] }
      : { text: `${formatCount(lost)} were set aside; where one of them was a revision, its procedure counts as not revised.`, basis: [lost] },
    ambiguous === 0
      ? { text: 'None could have belonged to more than one primary.', basis: [] }
      : { text: `${formatCount(ambiguous)} could have belonged to more than one primary and were set aside; they are in the list below.`, basis: [ambiguous] },
    { text: `${formatCount(bilateral.pairs)} patients have both sides of a joint replaced; in ${formatCount(bilateral.oneRevised)} of them one side is revised, in ${formatCount(bilateral.bothRevised)} both. Of their re-operations ${formatCount(bilateral.bySide)} were linked by patient, joint and side: there a wrong side gives the revision to the other joint.`, basis: [bilateral.pairs, bilateral.oneRevised, bilateral.bothRevised, bilateral.bySide] },
    { text: `${formatCount(deaths.linked)} of ${formatCount(deaths.kept)} deaths belong to a patient of the extract and end ${formatCount(deaths.endings)} procedures.`, basis: [deaths.linked, deaths.kept - deaths.linked, deaths.endings] },
  ];
}

const kinds: readonly { readonly key: keyof LinkCounts; readonly label: string }[] = [
  { key: 'first', label: 'First revision' }, { key: 'later', label: 'Later revision' }, { key: 'noChange', label: 'No component changed' }, { key: 'afterFollowUp', label: 'After the end of follow-up' },
];

function becameTable({ all, read, setAside }: Linkage): ProtectedTable {
  const row = (label: string, n: number, why: string, block: string) => ({ block, cells: [text(label), count(n), share(n, read), text(why)] });
  return protectSmallCounts({
    name: 'linkage', title: 'How the re-operations of the files were linked, and what they count as', blocksAddUp: true,
    method: 'Linked by id and by patient, joint and side, and those set aside, add up to all of the files; so do what the linked ones count as, with those set aside.',
    columns: [words('Re-operations'), number('Count'), number('% of the files'), words('What it means')],
    rows: [
      row('Linked by the procedure they name', all.byId, 'Patient, joint and side agree with it.', 'linked'),
      row('Linked by patient, joint and side', all.bySide, 'No procedure was named; one primary only is there.', 'linked'),
      row('Set aside', read - all.linked, 'By the rules below.', 'linked'),
      row(kinds[0]!.label, all.first, 'The end point of its procedure.', 'counts'),
      row(kinds[1]!.label, all.later, 'Kept, and no end point: the first one counts.', 'counts'),
      row(kinds[2]!.label, all.noChange, 'Kept, and no revision.', 'counts'),
      row(kinds[3]!.label, all.afterFollowUp, 'Kept, and no end point: follow-up had ended before.', 'counts'),
      ...setAside.map(({ title, count: n, againstPrimary }) => row(`Set aside: ${title.toLowerCase()}`, n,
        againstPrimary === 0 ? 'No primary of the files stands beside it.' : `A primary stands beside ${againstPrimary === n ? 'each' : guardedCount(againstPrimary)} of them in the list below.`, 'rules')),
    ],
  });
}

const columns = [number('Linked'), number('By id'), number('By id, %'), number('By patient, joint, side'), ...kinds.map(({ label }) => number(label))];
const cells = (c: LinkCounts): readonly Cell[] => [count(c.linked), count(c.byId), share(c.byId, c.linked), count(c.bySide), ...kinds.map(({ key }) => count(c[key]))];

export function linkageBlocks(linkage: Linkage, { names }: QualityView): readonly Block[] {
  const byYear = protectSmallCounts({
    name: 'linkage-by-year', title: 'Linkage by year of the re-operation', method: 'Linked re-operations; those set aside have no year that could be trusted.', blocksAddUp: true,
    columns: [words('Year'), ...columns], rows: linkage.years.map((year, i) => ({ cells: [text(String(year)), ...cells(linkage.byYear[i]!)] })),
  });
  const byHospital = protectSmallCounts({
    name: 'linkage-by-hospital', title: 'Linkage by hospital of the primary', blocksAddUp: true,
    method: 'In the order of identifiers. Set aside: re-operations held against a kept procedure of the hospital and set aside; those without such a procedure are in no row.',
    columns: [words('Hospital'), ...columns, number('Set aside')],
    rows: linkage.hospitals.map((id, h) => ({ cells: [hospitalCell(id, h, names), ...cells(linkage.byHospital[h]!), count(linkage.byHospital[h]!.setAside)] })),
  });
  return [
    ...paragraph(finished(linkageWords(linkage))),
    { kind: 'table', table: becameTable(linkage), folded: false },
    { kind: 'table', table: byYear, folded: true },
    { kind: 'table', table: byHospital, folded: true },
  ];
}
