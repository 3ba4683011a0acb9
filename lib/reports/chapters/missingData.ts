import type { MissingData, MissingDataRatios } from '../../analysis/chapters/missingDataResult';
import type { Analysis } from '../../analysis/result';
import type { NotEstimable } from '../../stats/cells';
import { forest } from '../forest';
import { formatConfidence, formatCount, formatList, formatPercent } from '../format';
import { finished, quoted, reasonWords, type Words } from '../phrases';
import { inSentence } from '../questionWords';
import { protectSmallCounts as guarded } from '../smallCounts';
import { text, type Column, type ReportTable, type Row } from '../table';
import { count, derived, number, plain, ratioCells, ratioColumns, words } from '../tableCells';
import { caution, heading, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';
import { lineParts, type ForestLine } from './linesForest';

export const missingDataContent = (analysis: Analysis, result: MissingData): Content => ({
  notes: [],
  blocks: [heading('What is not recorded'), ...(isComplete(result) ? complete(result) : incomplete(analysis, result))],
});

const isComplete = ({ groups }: MissingData): boolean => groups.every(({ procedures, complete: recorded }) => procedures === recorded);

const complete = ({ adjustedFor }: MissingData): readonly Block[] => paragraph(finished([{
  text: adjustedFor.length === 0
    ? 'Nothing is adjusted for, so that nothing can be missing.'
    : `${formatList(adjustedFor.map((label, i) => (i === 0 ? label : inSentence(label))))} ${adjustedFor.length === 1 ? 'is' : 'are'} recorded for every procedure: no procedure is left out of the adjusted ratios, and there is nothing to impute.`,
  basis: [],
}]));

function incomplete(analysis: Analysis, result: MissingData): readonly Block[] {
  return [
    ...paragraph(finished([...recordedWords(result), ...comparisonWords(result)])),
    ...(result.comparison.some(({ differ }) => differ)
      ? [caution('The two ways to deal with what is not recorded do not agree: neither ratio is to be quoted without the other.')] : []),
    ...result.notes.filter((note) => !analysis.notes.includes(note)).map(caution),
    { kind: 'table', table: guarded(missingTable(result)), folded: false },
    {
      kind: 'forest', title: 'Hazard ratios, complete records and imputed', table: guarded(ratiosTable(analysis, result)),
      figure: forest((place) => lineParts(analysis, { key: 'missing', heading: 'The same comparison', note: null, demoted: false }, lines(result), place), { row: 'Records' }),
    },
  ];
}

const recordedWords = ({ groups, covariates }: MissingData): readonly Words[] => [
  {
    text: `Everything that is adjusted for is recorded for ${formatList(groups.map((g) => `${formatCount(g.complete)} of ${formatCount(g.procedures)} in ${quoted(g)}`))}.`,
    basis: groups.flatMap(({ procedures, complete: recorded }) => [recorded, procedures - recorded]),
  },
  ...covariates.filter(({ missing }) => missing.some((n) => n > 0)).slice(0, 3).map(({ label, missing, percents }): Words => (
    { text: `${label} is missing in ${formatList(percents.map((p) => `${formatPercent(p)}%`))}, in the order of the groups.`, basis: missing })),
];

function comparisonWords({ comparison, completeCase, imputed }: MissingData): Words[] {
  const events = (ratios: MissingDataRatios | NotEstimable) => (ratios.status === 'ok' ? [ratios.events] : []);
  const basis = [...events(completeCase), ...events(imputed)];
  const failed = [{ what: 'From complete records', of: completeCase }, { what: 'With values imputed', of: imputed }].flatMap(({ what, of }) => (of.status === 'notEstimable' ? [{ text: `${what}, no ratio can be had: ${reasonWords(of.reason)}.`, basis: [] }] : []));
  return [...failed, ...comparison.filter(({ shift }) => Number.isFinite(shift)).map(({ label, shift, differ }): Words => ({
    text: `For ${quoted({ label })} the ratio with imputed values is ${formatPercent(Math.abs(100 * (shift - 1)))}% ${shift < 1 ? 'lower' : 'higher'} than that of complete records: ${differ ? 'the two differ' : 'no difference that matters'}.`, basis,
  }))];
}

const lines = ({ completeCase, imputed }: MissingData): readonly ForestLine[] => [
  { key: 'complete', label: 'Complete records only', detail: completeCase.status === 'ok' ? `${formatCount(completeCase.procedures)} procedures` : null, ratios: completeCase.status === 'ok' ? completeCase.ratios : { instead: completeCase.reason } },
  {
    key: 'imputed', label: 'All, values imputed', ratios: imputed.status === 'ok' ? imputed.ratios : { instead: imputed.reason },
    detail: imputed.status === 'ok' ? `${formatCount(imputed.procedures)} procedures, ${formatCount(imputed.imputations)} imputations` : null,
  },
];

/** What is missing and what is recorded add up to the procedures of a group. */
const missingTable = ({ groups, covariates }: MissingData): ReportTable => ({
  name: 'what-is-not-recorded',
  title: 'What is not recorded',
  method: 'Procedures without a record of the characteristic, and their percent of the group.',
  columns: [
    words('Characteristic'),
    ...groups.flatMap(({ label }, group): Column[] => [{ label: `${label}, missing`, numeric: true, group }, { label: `${label}, %`, numeric: true, group }]),
  ],
  rows: covariates.map(({ label, missing, percents }) => ({
    cells: [text(label), ...missing.flatMap((n, g) => [count(n), derived(percents[g] ?? NaN, formatPercent, [n])])],
  })),
});

function ratiosTable(analysis: Analysis, { completeCase, imputed }: MissingData): ReportTable {
  const both = [{ label: 'Complete records only', of: completeCase, information: [] as readonly number[] }, { label: 'All, values imputed', of: imputed, information: imputed.status === 'ok' ? imputed.missingInformation : [] }];
  return {
    name: 'hazard-ratios-missing-data',
    title: 'Hazard ratios, complete records and imputed',
    method: `Chained equations${imputed.status === 'ok' ? `, ${imputed.imputations} imputations, seed ${imputed.seed}` : ''}, combined by Rubin’s rules (Rubin 1987); limits at ${formatConfidence(analysis.question.confidence)}. Missing information: percent of the variance that comes from what is missing.`,
    columns: [words('Records'), ...ratioColumns, number('Missing information, %')],
    rows: both.flatMap(({ label, of, information }): Row[] => (of.status === 'notEstimable'
      ? [{ block: label, cells: [text(label), text(of.reason), ...Array.from({ length: ratioColumns.length }, () => text(''))] }]
      : of.ratios.map((ratio, i) => ({
        block: label, group: analysis.groups.findIndex((g) => g.key === ratio.level),
        cells: [text(label), ...ratioCells(ratio), information[i] === undefined ? text('') : plain(100 * information[i], formatPercent)],
      })))),
  };
}
