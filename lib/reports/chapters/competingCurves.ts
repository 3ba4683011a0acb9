import type { CompetingGroup, CompetingRisks } from '../../analysis/chapters/competingRisksResult';
import type { Analysis } from '../../analysis/result';
import type { View } from '../../contract/view';
import { bandWords, percentDrawing } from '../curveFigure';
import { isEstimate } from '../estimate';
import { formatList, formatPercent, formatSpan } from '../format';
import { quoted } from '../phrases';
import { netWords } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { incidencesOf, toldDays } from '../toldDays';
import { traceOf } from '../trace';
import type { CurvesChoice } from './chapterReport';
import { competingCurvesTable } from './competingTables';
import { hasDeaths } from './competingWords';

const explanations: Readonly<Record<View['deaths'], string>> = {
  censored: 'If patients did not die: how many implants would be revised by then if everybody lived on. It is a question about the implant, and nobody’s own risk: '
    + 'some die before their revision would have come.',
  competing: 'As patients live: how many patients have been revised by then, when those who died first never will be. It is a question about patients: '
    + 'an implant given to the old and frail looks good here, because they die unrevised.',
  both: 'Two questions side by side. Thin lines, if patients did not die: how long implants last. Thick lines, as patients live: what happens to patients, '
    + 'among whom an implant given to the old and frail looks good, because they die unrevised.',
};

/** Which question the curves answer, and their figure where it is not that of the main answer. */
export const curvesChoice = (analysis: Analysis, result: CompetingRisks, view: View): CurvesChoice => ({
  explanation: explanations[view.deaths],
  prompt: hasDeaths(result) ? gapPrompt(analysis, result) : noDeaths,
  figure: view.deaths === 'censored' ? null : competingFigure(analysis, result, view),
  table: protectSmallCounts(competingCurvesTable(result)),
});

function competingFigure(analysis: Analysis, { groups }: CompetingRisks, view: View): TimeFigure {
  const both = view.deaths === 'both', net = netWords(analysis.question);
  const lines = groups.flatMap((of, group) => {
    const { label, curves, events } = of, told = toldDays(curves.revision, [{ events: incidencesOf(curves.revision, of), total: events.revision }]);
    return [
      { label: both ? `${label}, as patients live` : label, group, thin: false, trace: traceOf(curves.revision), told },
      ...(both ? [{ label: `${label}, ${net}`, group, thin: true, trace: traceOf(curves.ifNoneDied), told }] : []),
    ];
  });
  return timeFigure({
    ...percentDrawing(analysis),
    name: both ? 'revision-curves-both' : 'revision-curves-as-patients-live',
    title: 'Cumulative percent revision, as patients live',
    caption: `${both ? 'Thick: as' : 'As'} patients live, the cumulative incidence (Aalen–Johansen)${bandWords(view)}. ${both ? `Thin: ${net}, 100 (1 − Kaplan–Meier). ` : ''}A curve stops where too few are at risk.`,
    lines,
  }, view);
}

const noDeaths = 'No death among these patients is on record: either none has died, or the extract holds no deaths. Whoever died is then followed as if alive, '
  + 'and what happens as patients live can’t be told: both kinds of curve are the same, and too low where deaths are missing.';

const gapWorthTelling = 1; // percentage point

/** The latest time at which the two curves of a group are more than a point apart. */
function widestGap({ label, atTimes }: CompetingGroup, net: string): readonly string[] {
  const apart = [...atTimes].reverse().find(({ gap }) => gap > gapWorthTelling);
  if (apart === undefined || !isEstimate(apart.ifNoneDied) || !isEstimate(apart.revision)) return [];
  return [`${formatPercent(apart.gap)} points at ${formatSpan(apart.years)} in ${quoted({ label })} `
    + `(${formatPercent(apart.ifNoneDied.value)}% ${net}, ${formatPercent(apart.revision.value)}% as patients live)`];
}

function gapPrompt({ question }: Analysis, { groups, gapPrompt: prompts }: CompetingRisks): string | null {
  if (!prompts) return null;
  const gaps = groups.flatMap((group) => widestGap(group, netWords(question)));
  return `The two kinds of curve part by ${formatList(gaps)}. Say which one is meant: to judge an implant take the first, to tell patients what to expect the second.`;
}
