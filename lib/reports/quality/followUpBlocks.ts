import { completenessIndex, type FollowUpLine, type FollowUpQuality } from '../../quality/followUp/lostFollowUp';
import type { RatioToYearBefore, ReportingLag } from '../../quality/followUp/reportingLag';
import { paragraph, type Block } from '../blocks';
import { formatCount, formatDate, formatDaysAsYears, formatP, formatPercent, formatRatio } from '../format';
import { finished } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable } from '../table';
import { count, derived, number, words } from '../tableCells';
import { hospitalCell } from './placeCells';
import type { QualityView } from './qualityView';

const columns = [number('Procedures'), number('Lost'), number('Lost, %'), number('Years observed'), number('Years possible'), number('Index of completeness, %')];
const years = (days: number, basis: number): Cell => derived(days, formatDaysAsYears, [basis]);
const cells = (line: FollowUpLine): readonly Cell[] => {
  const { procedures, lost, observed, potential } = line;
  return [count(procedures), count(lost), derived((100 * lost) / procedures, formatPercent, [lost]), years(observed, procedures), years(potential, procedures), derived(completenessIndex(line), formatPercent, [lost])];
};
const method = 'Lost: follow-up ended before the closing date, by neither revision nor death. Index of completeness: observed over possible person-time, which runs to the closing date, or to revision or death where that came first (Clark, Altman & De Stavola 2002, Lancet 359:1309).';

export function lostBlocks({ all, years: at, byYear, hospitals, byHospital }: FollowUpQuality, { names }: QualityView): readonly Block[] {
  const unlike = byHospital.filter(({ unlike: is }) => is).length;
  const yearTable = protectSmallCounts({
    name: 'lost-by-year', title: 'Follow-up lost, by year of surgery', method, blocksAddUp: true,
    columns: [words('Year'), ...columns], rows: at.map((year, i) => ({ cells: [text(String(year)), ...cells(byYear[i]!)] })),
  });
  const hospitalTable = protectSmallCounts({
    name: 'lost-by-hospital', title: 'Follow-up lost, by hospital', blocksAddUp: true,
    method: `${method} In the order of identifiers. Asked about: at least 5 percentage points above all others, and by more than chance (exact test of Fisher, adjusted over all hospitals, up to 0.01).`,
    columns: [words('Hospital'), ...columns, words('Reading')],
    rows: hospitals.map((id, h) => ({ cells: [hospitalCell(id, h, names), ...cells(byHospital[h]!), { text: byHospital[h]!.unlike ? 'to be asked about' : 'like the others', basis: [byHospital[h]!.lost] }] })),
  });
  return [
    ...paragraph(finished([
      { text: `Follow-up of ${formatCount(all.lost)} of ${formatCount(all.procedures)} procedures ended before the closing date by neither revision nor death (${formatPercent((100 * all.lost) / all.procedures)}%); ${formatPercent(completenessIndex(all))}% of the possible follow-up time was observed.`, basis: [all.lost] },
      { text: 'This sees only those who are known to have left: where a registry does not hear of people who move away, they look followed up and never revised.', basis: [] },
      ...(unlike === 0 ? [] : [{ text: `${formatCount(unlike)} of ${formatCount(hospitals.length)} hospitals lost clearly more than the others.`, basis: [] }]),
    ])),
    { kind: 'table', table: yearTable, folded: false },
    { kind: 'table', table: hospitalTable, folded: true },
  ];
}

const ratioCells = ({ count: n, before, ratio, lower, upper, few, p }: RatioToYearBefore): readonly Cell[] => [
  count(n), count(before), derived(ratio, formatRatio, [n, before]), { text: Number.isNaN(ratio) ? '–' : `${formatRatio(lower)}–${formatRatio(upper)}`, basis: [n, before] },
  { text: Number.isNaN(p) ? '' : few ? `fewer than usual (${formatP(p)})` : `as usual (${formatP(p)})`, basis: [n, before] },
];

export function lagTable({ months, usual }: ReportingLag): ProtectedTable {
  return protectSmallCounts({
    name: 'latest-months', title: 'The latest months beside the same months a year before',
    method: `Months that end on the closing day or so many months before it. Revisions: all in which a component was changed. Ratio with exact 95% limits, given both counts together (Przyborowski & Wilenski 1940, Biometrika 31:313). The latest three are held against the ratio of the nine before them (procedures ${formatRatio(usual.procedures)}, revisions ${formatRatio(usual.revisions)}); fewer than usual: one-sided p up to 0.01 over the three.`,
    columns: [
      words('Month'), number('Procedures'), number('Year before'), number('Ratio'), words('95% limits'), words('Reading'),
      number('Revisions'), number('Year before (revisions)'), number('Ratio (revisions)'), words('95% limits (revisions)'), words('Reading (revisions)'),
    ],
    rows: months.map(({ from, to, procedures, revisions }) => ({ cells: [text(`${formatDate(from)} – ${formatDate(to)}`), ...ratioCells(procedures), ...ratioCells(revisions)] })),
  });
}

export function lagBlocks(lag: ReportingLag): readonly Block[] {
  const few = (of: 'procedures' | 'revisions'): number => lag.months.filter((month) => month[of].few).length;
  const late = [...(few('procedures') > 0 ? ['procedures'] : []), ...(few('revisions') > 0 ? ['revisions'] : [])];
  return [
    ...paragraph(finished([{
      text: late.length === 0
        ? 'In none of the latest three months are procedures or revisions clearly fewer than the months before let expect; small numbers can hide a delay.'
        : `In the latest three months there are clearly fewer ${late.join(' and ')} than the months before let expect: they may still be reported. Do not read that as improvement; an earlier closing date leaves them out.`, basis: [],
    }])),
    { kind: 'table', table: lagTable(lag), folded: false },
  ];
}
