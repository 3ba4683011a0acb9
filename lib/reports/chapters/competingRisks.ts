import type { CompetingRatios, CompetingRisks } from '../../analysis/chapters/competingRisksResult';
import type { Analysis } from '../../analysis/result';
import { daysOfYears } from '../../cohort/days';
import type { View } from '../../contract/view';
import { bandWords, percentDrawing } from '../curveFigure';
import { forest, forestRow } from '../forest';
import { adjustedWords, capital, finished, reasonWords } from '../phrases';
import { protectSmallCounts as guarded, withheldOf } from '../smallCounts';
import { highestShown, timeFigure, type TimeFigure } from '../timeFigure';
import { incidencesOf, toldDays } from '../toldDays';
import { traceOf } from '../trace';
import { caution, heading, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';
import { curvesChoice } from './competingCurves';
import { competingRatiosTable, competingTable, reasonsTable, sideBySide, sideBySideLabels } from './competingTables';
import { competingRatiosWords, deathsWords, grayWords, reasonsWords } from './competingWords';
import { stackFigure } from './stackFigure';

export const competingRisksContent = (analysis: Analysis, result: CompetingRisks, view: View): Content => ({
  curves: curvesChoice(analysis, result, view),
  blocks: [
    heading('Revision where patients also die'),
    ...paragraph([...deathsWords(result), ...grayWords(result)]),
    { kind: 'table', table: guarded(competingTable(analysis, result)), folded: false },
    ...reasonBlocks(analysis, result, view),
  ],
  ratios: ratioBlocks(analysis, result.ratios),
});

function reasonBlocks(analysis: Analysis, result: CompetingRisks, view: View): readonly Block[] {
  if (result.reasons.length < 2) return []; // the curves say it all
  const table = guarded(reasonsTable(analysis, result));
  return [
    heading('Reasons for revision'),
    ...paragraph(reasonsWords(result)),
    {
      kind: 'choice', label: 'Reasons',
      options: [
        { label: 'Each by itself', blocks: [{
          kind: 'panels', name: 'reasons', title: 'Cumulative percent revision by reason', panels: reasonPanels(analysis, result, view), table,
          caption: `As patients live: cumulative incidence by reason (Aalen–Johansen)${bandWords(view)}. One scale for all reasons. A curve stops where too few are at risk.`,
        }] },
        { label: 'One upon the other', blocks: [{ kind: 'stack', figure: stackFigure(analysis, result, view), table }] },
      ],
    },
    { kind: 'table', table, folded: true },
    caution('Reasons are as the revising surgeon recorded them: habits of recording differ between hospitals and have changed over the years.'),
  ];
}

/** A panel per reason with a line per group. Lines of few revisions, and what they could be computed from, are not printed. */
function reasonPanels(analysis: Analysis, { groups, reasons }: CompetingRisks, view: View): readonly TimeFigure[] {
  const lastDay = daysOfYears(Math.min(view.spanYears ?? Infinity, analysis.question.horizonYears));
  const highest = Math.max(0.5, highestShown(groups.flatMap((group) => group.reasons.map(({ curve }) => traceOf(curve))), lastDay, view.bands));
  const withheld = groups.map((group) => { const hidden = withheldOf(group.reasons.map(({ events }) => events)); return new Set(group.reasons.filter((_, i) => hidden[i]).map(({ reason }) => reason)); });
  return reasons.map(({ key, label }) => {
    const incidences = groups.map((group) => group.reasons.find(({ reason }) => reason === key));
    return timeFigure({
      ...percentDrawing(analysis), name: `reason-${key}`, title: label, caption: '', highest,
      lines: incidences.flatMap((incidence, group) => {
        const of = groups[group];
        return incidence === undefined || of === undefined ? [] : [{
          label: of.label, group, thin: false, trace: traceOf(incidence.curve),
          told: withheld[group]?.has(key) === true ? [] : toldDays(incidence.curve, [{ events: incidencesOf(incidence.curve, of), total: incidence.events }]),
        }];
      }),
    }, view);
  });
}

const notes: Readonly<Record<(typeof sideBySide)[number], string>> = {
  revision: 'How often a living implant is revised: the question about implants.',
  death: 'Away from 1, the groups’ patients do not live equally long. That is no effect of the implant.',
  subdistribution: 'The order of the curves as patients live, moved by deaths too: the question about patients (Fine & Gray).',
};

function ratioBlocks(analysis: Analysis, ratios: CompetingRatios | { readonly status: 'notEstimable'; readonly reason: string }): readonly Block[] {
  if (analysis.groups.length < 2) return [];
  const title = heading('Where patients also die');
  if (ratios.status !== 'ok') return [title, ...paragraph(finished([{ text: `Ratios for revision and death can’t be estimated: ${reasonWords(ratios.reason)}.`, basis: [] }]))];
  const figure = forest((place) => sideBySide.map((kind) => ({
    key: kind, heading: sideBySideLabels[kind], note: notes[kind], demoted: false,
    rows: ratios.groups.map((group) => forestRow(analysis.groups, group[kind], place, { key: `${kind}:${group.group}` })),
  })), { counts: 'Events', events: 'events' });
  return [
    title,
    ...paragraph([...finished([{ text: `${capital(adjustedWords(ratios))}, from the same procedures throughout.`, basis: [] }]), ...competingRatiosWords(ratios)]),
    { kind: 'forest', title: 'Hazard ratios for revision and death', figure, table: guarded(competingRatiosTable(analysis, ratios)) },
  ];
}
