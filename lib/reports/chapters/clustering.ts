import type { ClusteredRatios, Clustering, FrailtyRatios } from '../../analysis/chapters/clusteringResult';
import type { Analysis } from '../../analysis/result';
import { isEstimate } from '../estimate';
import { forest } from '../forest';
import { formatConfidence, formatCount, formatLimits, formatList, formatPEquation, formatRatio } from '../format';
import { finished, quoted, reasonWords, type Words } from '../phrases';
import { protectSmallCounts as guarded } from '../smallCounts';
import { text, type ReportTable, type Row } from '../table';
import { number, plain, ratioCells, ratioColumns, words } from '../tableCells';
import { heading, paragraph } from '../blocks';
import type { Content } from './chapterReport';
import { lineParts, type ForestLine } from './linesForest';

const plural = { none: '', patient: 'patients', hospital: 'hospitals', surgeon: 'surgeons' } as const;
const within = 'Within a hospital (shared frailty)';

export const clusteringContent = (analysis: Analysis, result: Clustering): Content => ({
  blocks: [
    heading('Procedures that have something in common'),
    ...paragraph(finished([
      { text: 'Two joints of one patient, and the procedures of one hospital or surgeon, are more alike than others, so that limits that take all procedures for independent can be too narrow.', basis: [] },
      ...limitsWords(analysis, result), ...fewWords(result), ...frailtyWords(result.frailty),
    ])),
    {
      kind: 'forest', title: 'Hazard ratios that allow for what procedures have in common', table: guarded(clusteringTable(analysis, result)),
      figure: forest((place) => lineParts(analysis, { key: 'clusters', heading: 'The same comparison', note: null, demoted: false }, linesOf(result), place), { row: 'Limits' }),
    },
  ],
});

const linesOf = ({ errors, frailty }: Clustering): readonly ForestLine[] => [
  ...errors.map(({ unit, label, asked, clusters, ratios }): ForestLine => ({
    key: unit, label, detail: [...(asked ? ['As asked'] : []), ...(unit === 'none' ? [] : [`${formatCount(clusters)} ${plural[unit]}`])].join(': ') || null,
    ratios: 'status' in ratios ? { instead: ratios.reason } : ratios,
  })),
  { key: 'frailty', label: within, detail: 'Every hospital has a hazard of its own', ratios: frailty.status === 'ok' ? frailty.ratios : { instead: frailty.reason } },
];

/** How the limits of each group go with the unit. */
function limitsWords({ groups, reference }: Analysis, { errors }: Clustering): Words[] {
  return groups.filter(({ key }) => key !== reference).flatMap((group): Words[] => {
    const found = errors.flatMap(({ label, ratios }) => {
      const ratio = 'status' in ratios ? undefined : ratios.find(({ level }) => level === group.key);
      return ratio !== undefined && isEstimate(ratio.estimate) ? [{ label, ratio, estimate: ratio.estimate, width: Math.log(ratio.estimate.upper / ratio.estimate.lower) }] : [];
    });
    const widest = [...found].sort((a, b) => b.width - a.width)[0];
    if (widest === undefined || found.length < 2) return [];
    const name = widest.label.toLowerCase().replace('robust over', 'over');
    return [{
      text: `The widest limits of ${quoted(group)} are those ${name === 'all procedures independent' ? 'that take all procedures for independent' : name}: ${formatRatio(widest.estimate.value)} (${formatLimits(widest.estimate, formatRatio)}).`,
      basis: [widest.ratio.events],
    }];
  });
}

function fewWords({ errors }: Clustering): Words[] {
  const few = errors.filter((error): error is ClusteredRatios & { unit: 'patient' | 'hospital' | 'surgeon' } => error.few && error.unit !== 'none');
  return few.length === 0 ? [] : [{ text: `With ${formatList(few.map(({ clusters, unit }) => `${formatCount(clusters)} ${plural[unit]}`))} only, robust limits tend to be too narrow.`, basis: [] }];
}

function frailtyWords(frailty: FrailtyRatios | { readonly status: 'notEstimable'; readonly reason: string }): Words[] {
  if (frailty.status !== 'ok') return [{ text: `How far hospitals differ can’t be estimated: ${reasonWords(frailty.reason)}.`, basis: [] }];
  const { variance, test, spread, clusters } = frailty;
  if (!(variance.value > 0)) return [{ text: `The ${formatCount(clusters)} hospitals differ no more than chance makes them.`, basis: [] }];
  return [{
    text: `Given the same patients and implants, the ${formatCount(clusters)} hospitals’ own hazards run from ${formatRatio(spread.smallest)} to ${formatRatio(spread.largest)} of their mean (variance ${formatRatio(variance.value)}, ${formatLimits(variance, formatRatio)}; ${formatPEquation(test.p)}).`,
    basis: [],
  }];
}

const clusteringTable = (analysis: Analysis, { errors, frailty, adjustedFor }: Clustering): ReportTable => {
  const lines = [
    ...errors.map(({ label, clusters, ratios }) => ({ label, clusters, ratios })),
    { label: within, clusters: frailty.status === 'ok' ? frailty.clusters : 0, ratios: frailty.status === 'ok' ? frailty.ratios : frailty },
  ];
  return {
    name: 'hazard-ratios-by-cluster',
    title: 'Hazard ratios that allow for what procedures have in common',
    method: `Cox regression, ${adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${formatList(adjustedFor)}`}; limits at ${formatConfidence(analysis.question.confidence)}, robust over the unit named (Lin & Wei 1989), or with a gamma frailty of each hospital.`,
    columns: [words('Limits'), number('Units'), ...ratioColumns],
    rows: lines.flatMap(({ label, clusters, ratios }): Row[] => ('status' in ratios
      ? [{ block: label, cells: [text(label), text(''), text(ratios.reason), ...ratioColumns.slice(1).map(() => text(''))] }]
      : ratios.map((ratio) => ({
        block: label, group: analysis.groups.findIndex((g) => g.key === ratio.level), cells: [text(label), clusters === 0 ? text('') : plain(clusters), ...ratioCells(ratio)],
      })))),
  };
};
