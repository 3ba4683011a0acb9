import { policyInForce } from '../../disclosure/policy';
import type { CaseMixCurves, SameCaseMix, WeightedCurves } from '../../analysis/chapters/sameCaseMixResult';
import type { Analysis } from '../../analysis/result';
import type { View } from '../../contract/view';
import type { NotEstimable } from '../../stats/cells';
import { bandWords, percentDrawing } from '../curveFigure';
import { isEstimate } from '../estimate';
import { forest, forestRow } from '../forest';
import { formatCount, formatList, formatPercent, formatRatio, formatSpan } from '../format';
import { adjustedWords, finished, percentWords, quoted, reasonWords, type Words } from '../phrases';
import { inSentence, netWords } from '../questionWords';
import { isSmall, protectSmallCounts as guarded } from '../smallCounts';
import type { ReportTable } from '../table';
import { ratioCells, ratioColumns } from '../tableCells';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { toldOf } from '../toldDays';
import { atRiskAt, traceOf } from '../trace';
import { balanceFigure, imbalance } from './balanceFigure';
import { caution, heading, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';
import { insideOf, balanceTable, caseMixContrastsTable, caseMixPercentsTable, weightsTable } from './sameCaseMixTables';

export function sameCaseMixContent(analysis: Analysis, result: SameCaseMix, view: View): Content {
  const { standardised, weighted } = result;
  const table = guarded(caseMixPercentsTable(analysis, result));
  const option = (label: string, curves: CaseMixCurves | NotEstimable): { readonly label: string; readonly blocks: readonly Block[] } => ({
    label,
    blocks: curves.status === 'ok'
      ? [{ kind: 'overTime', figure: caseMixFigure(analysis, result, label, curves, view), table, shownOnce: true }]
      : paragraph(finished([{ text: `${label} curves can’t be had: ${reasonWords(curves.reason)}.`, basis: [] }])),
  });
  return {
    blocks: [
      ...paragraph(finished([
        { text: `Thick lines: every group as it would be with the case mix of all (${result.adjustedFor.length === 0 ? 'nothing is adjusted for, so that nothing changes' : formatList(result.adjustedFor.map(inSentence))}); thin lines: as it is.`, basis: [] },
        ...leftOutWords(result), ...movedWords(analysis, result),
      ])),
      caution('The same case mix in what is recorded and adjusted for. Bone, anatomy and the surgeon’s reasons are mostly not.'),
      { kind: 'choice', label: 'How the case mix is made the same', options: [option('Standardised', standardised), option('Weighted', weighted)] },
      { kind: 'table', table, folded: true },
      ...(['difference', 'ratio'] as const).map((what) => ({ kind: 'table', table: guarded(caseMixContrastsTable(analysis, result, what)), folded: true } as const)),
      ...(weighted.status === 'ok' ? weightBlocks(analysis, result, weighted) : []),
    ],
  };
}

function leftOutWords({ leftOut }: SameCaseMix): readonly Words[] {
  const missing = leftOut.filter((l) => l.missing > 0);
  return missing.length === 0 ? [] : [{ text: `Complete records only; not recorded: ${missing.map((l) => `${inSentence(l.covariate)} in ${formatCount(l.missing)}`).join(', ')}.`, basis: missing.map((l) => l.missing) }];
}

/** What the case mix does to the groups at the latest time at which all may be read. */
function movedWords({ question }: Analysis, { crude, standardised, groups }: SameCaseMix): readonly Words[] {
  if (standardised.status !== 'ok') return [];
  const at = (curves: CaseMixCurves, group: string, years: number) => {
    const read = curves.atTimes.find((a) => a.group === group && a.years === years);
    return read !== undefined && isEstimate(read.estimate) ? { estimate: read.estimate, events: read.events } : undefined;
  };
  const latest = [...question.atYears].sort((a, b) => b - a).map((years) => ({
    years, read: groups.map(({ group, label }) => ({ label, own: at(crude, group, years), alike: at(standardised, group, years) })),
  })).find(({ read }) => read.every(({ own, alike }) => own !== undefined && alike !== undefined));
  if (latest === undefined) return [];
  const each = latest.read.flatMap(({ label, own, alike }) => (own === undefined || alike === undefined ? []
    : [`${percentWords(alike.estimate, question.confidence)} of ${quoted({ label })} (as it is ${formatPercent(own.estimate.value)}%)`]));
  return [{
    text: `At ${formatSpan(latest.years)}, ${netWords(question)}, ${formatList(each)} would have been revised with the case mix of all.`,
    basis: latest.read.map(({ own }) => own?.events ?? 0),
  }];
}

function caseMixFigure(analysis: Analysis, { crude, groups, adjustedFor }: SameCaseMix, way: string, curves: CaseMixCurves, view: View): TimeFigure {
  const lines = groups.flatMap(({ group, label, events }, i) => {
    const position = analysis.groups.findIndex((g) => g.key === group), [alike, own] = [curves.curves[i], crude.curves[i]], told = own !== undefined && 'days' in own ? toldOf(own, events) : [];
    return [
      ...(alike !== undefined && 'days' in alike ? [{ label: `${label}, ${inSentence(way)}`, group: position, thin: false, trace: traceOf(alike), told }] : []),
      ...(own !== undefined && 'days' in own ? [{ label: `${label}, as it is`, group: position, thin: true, trace: traceOf(own), told }] : []),
    ];
  });
  const made = way === 'Standardised' ? 'the mean over the cohort of what a Cox model with a baseline per group predicts, read at month ends' : 'Kaplan–Meier, procedures weighted by the inverse of the probability of the group that they received';
  return timeFigure({
    ...percentDrawing(analysis),
    atRisk: (position, day) => { const own = crude.curves[groups.findIndex(({ group }) => group === analysis.groups[position]?.key)]; return own !== undefined && 'days' in own ? atRiskAt(traceOf(own), day) : null; },
    name: `percent-revised-${way.toLowerCase()}`, title: `Percent revised with the same case mix, ${inSentence(way)}`,
    caption: `${netWords(analysis.question).replace('if', 'If')}. Thick: ${made}, ${adjustedWords({ adjustedFor })}${bandWords(view)}. Thin: as it is. A curve stops where too few are at risk.`,
    lines,
  }, view);
}

function weightBlocks(analysis: Analysis, result: SameCaseMix, weighted: WeightedCurves): readonly Block[] {
  const { ratios } = weighted;
  return [
    heading('Balance before and after weighting'),
    ...paragraph(finished(balanceWords(weighted))),
    { kind: 'balance', figure: balanceFigure(weighted.balance, (row) => policyInForce().rounding > 1 || result.groups.some((_, g) => insideOf(result.groups, weighted.balance, row, g).some(isSmall))), table: guarded(balanceTable(analysis, result, weighted)) },
    { kind: 'table', table: guarded(weightsTable(analysis, weighted)), folded: false },
    ...('status' in ratios
      ? paragraph(finished([{ text: `A weighted hazard ratio can’t be had: ${reasonWords(ratios.reason)}.`, basis: [] }]))
      : [{
        kind: 'forest', title: 'Hazard ratios, weighted', table: guarded(weightedRatiosTable(analysis, weighted)),
        figure: forest((place) => [{ key: 'weighted', heading: 'Weighted', note: 'Of the groups with one case mix; limits robust', demoted: false, rows: ratios.map((ratio) => forestRow(analysis.groups, ratio, place)) }]),
      } as const]),
  ];
}

function balanceWords({ balance, weights }: WeightedCurves): readonly Words[] {
  const largest = (side: 'before' | 'after') => Math.max(0, ...balance.map((row) => row[side].largestDifference));
  const [before, after] = [largest('before'), largest('after')], said = (d: number) => (Number.isFinite(d) ? formatRatio(d) : 'all against none');
  const extreme = weights.filter(({ extremePercent }) => extremePercent > 0);
  return [
    { text: `The largest standardised difference goes from ${said(before)} to ${said(after)}${after > imbalance ? `: above ${imbalance}, the weights do not make the groups alike` : ''}.`, basis: [] },
    { text: `Weights cost precision: ${formatList(weights.map(({ label, procedures, effectiveSize }) => `the ${formatCount(procedures)} procedures of ${quoted({ label })} are worth ${formatCount(effectiveSize)}`))}.`, basis: weights.map(({ procedures }) => procedures) },
    ...(extreme.length > 0 ? [{ text: `Some procedures of ${formatList(extreme.map(quoted))} count more than ten times as much as the others: a few people carry the result there.`, basis: [] }] : []),
  ];
}

const weightedRatiosTable = (analysis: Analysis, { ratios }: WeightedCurves): ReportTable => ({
  name: 'hazard-ratios-weighted',
  title: 'Hazard ratios, weighted',
  method: 'Weighted Cox regression with robust limits.',
  columns: ratioColumns,
  rows: 'status' in ratios ? [] : ratios.map((ratio) => ({ group: analysis.groups.findIndex((g) => g.key === ratio.level), cells: ratioCells(ratio) })),
});
