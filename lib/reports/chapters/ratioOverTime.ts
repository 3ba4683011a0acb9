import type { FoundPeriods, RatioOverTime } from '../../analysis/chapters/ratioOverTimeResult';
import type { Analysis, HazardRatio } from '../../analysis/result';
import type { View } from '../../contract/view';
import { bandWords, percentDrawing } from '../curveFigure';
import { forest, forestRow, type ForestPart, type Place } from '../forest';
import { formatConfidence, formatCount, formatList, formatPEquation, formatRatioEstimate, formatRatio, formatSpan } from '../format';
import { adjustedWords, capital, finished, reasonWords, type Words } from '../phrases';
import { periodName } from '../plainWords';
import { protectSmallCounts as guarded } from '../smallCounts';
import { text, type ReportTable, type Row } from '../table';
import { count, derived, number, plain, ratioCells, ratioColumns, words } from '../tableCells';
import { timeFigure, type TimeFigure } from '../timeFigure';
import { caution, heading, paragraph, type Block } from '../blocks';
import type { Content } from './chapterReport';

export function ratioOverTimeContent(analysis: Analysis, result: RatioOverTime, view: View): Content {
  const [ofFoundTimes, ...notes] = result.notes.filter((note) => !analysis.notes.includes(note));
  const found = result.found.status === 'ok' && result.found.cuts.some(({ accepted }) => accepted);
  return {
    notes,
    blocks: [
      ...paragraph(finished(testWords(result))),
      ...smoothBlocks(analysis, result, view),
      heading('Times at which the ratio changes'),
      ...paragraph(finished(cutWords(result.found))),
      ...(found && ofFoundTimes !== undefined ? [caution(`Exploratory. ${ofFoundTimes}`)] : []),
      { kind: 'forest', title: 'Hazard ratios over time', figure: forest((place) => parts(analysis, result, place)), table: guarded(periodsTable(analysis, result)) },
    ],
  };
}

/** Whether one ratio will do, and which numbers lead. */
function testWords({ groupsProportional, test, smooth }: RatioOverTime): Words[] {
  const readable = smooth.some(({ curve }) => curve.status === 'ok');
  if (test.status !== 'ok') return [{ text: `Whether the ratio stays the same could not be tested: ${reasonWords(test.reason)}.`, basis: [] }];
  const tested = `test of proportional hazards: ${formatPEquation(test.p)}`;
  if (!groupsProportional) return [{ text: `The ratio changes with time since surgery (${tested}). Read it at the time that matters; one number for all time would mislead and stands last.`, basis: [] }];
  return [{ text: `There is no sign that the ratio changes with time since surgery (${tested}), so that one number may be read.${readable ? ' How much change the data leave room for, the bands show.' : ''}`, basis: [] }];
}

function smoothBlocks(analysis: Analysis, result: RatioOverTime, view: View): readonly Block[] {
  const without = result.smooth.flatMap(({ label, curve }) => (curve.status === 'notEstimable' ? [{ text: `For “${label}” no curve can be drawn: ${reasonWords(curve.reason)}.`, basis: [] }] : []));
  const drawn = result.smooth.some(({ curve }) => curve.status === 'ok');
  return [...(drawn ? [{ kind: 'overTime', figure: smoothFigure(analysis, result, view), table: guarded(smoothTable(analysis, result)) } as const] : []), ...paragraph(finished(without))];
}

const positionOf = ({ groups }: Analysis, key: string) => groups.findIndex((group) => group.key === key);

function smoothFigure(analysis: Analysis, result: RatioOverTime, view: View): TimeFigure {
  const reference = analysis.groups.find(({ key }) => key === result.reference)?.label ?? '';
  return timeFigure({
    ...percentDrawing(analysis),
    name: 'hazard-ratio-over-time', title: `Hazard ratio against “${reference}” by time since surgery`,
    groups: result.smooth.map(({ group, label }) => ({ label, position: positionOf(analysis, group) })),
    atRisk: (position, day) => atRiskIn(result.smooth.find(({ group }) => positionOf(analysis, group) === position)?.curve, day),
    unit: '', valueLabel: 'Hazard ratio, logarithmic', scale: 'log', even: 1, shape: 'smooth', unread: 'not read here',
    format: formatRatioEstimate,
    caption: `Hazard ratio, ${adjustedWords(result)}, as a smooth curve through scaled Schoenfeld residuals${bandWords(view)}, at each time by itself. At 1 the groups are revised alike. Bands are widest where revisions are few.`,
    lines: result.smooth.flatMap(({ group, label, curve }) => (curve.status === 'notEstimable' ? [] : [{
      label, group: positionOf(analysis, group), thin: false, told: [],
      trace: { days: curve.days, values: curve.ratio, lower: curve.lower, upper: curve.upper, atRisk: curve.atRisk, lastDay: curve.days.at(-1) ?? 0 },
    }])),
  }, view);
}

/** Of those in the model, for as long as the curve is drawn. */
function atRiskIn(curve: RatioOverTime['smooth'][number]['curve'] | undefined, day: number): number | null {
  const i = curve?.status === 'ok' ? curve.days.indexOf(day) : -1;
  return curve?.status === 'ok' && i >= 0 ? curve.atRisk[i]! : null;
}

const everyNth = 6; // of the months

const smoothTable = (analysis: Analysis, { smooth }: RatioOverTime): ReportTable => ({
  name: 'hazard-ratio-over-time',
  title: 'Hazard ratio by time since surgery, smoothed',
  method: `Natural spline through scaled Schoenfeld residuals (Grambsch & Therneau 1994, Biometrika 81:515), limits at ${formatConfidence(analysis.question.confidence)}, at each time by itself. At risk: in the group, just before the day.`,
  columns: [words('Group'), number('Day'), number('At risk'), number('Hazard ratio'), number('Lower'), number('Upper')],
  rows: smooth.flatMap(({ group, label, curve }): Row[] => (curve.status === 'notEstimable' ? [] : Array.from(curve.days.keys()).filter((i) => i % everyNth === 0).map((i) => ({
    group: positionOf(analysis, group),
    cells: [text(label), plain(curve.days[i]!), count(curve.atRisk[i]!), ...[curve.ratio, curve.lower, curve.upper].map((values) => derived(values[i]!, formatRatio, [curve.atRisk[i]!]))],
  })))),
});

const when = (day: number): string => formatSpan(day / 365.25);

/** What was looked for, and what came of it. */
function cutWords(found: RatioOverTime['found']): Words[] {
  if (found.status === 'notEstimable') return [{ text: `Times of change can’t be looked for: ${reasonWords(found.reason)}.`, basis: [] }];
  const accepted = found.cuts.filter((cut) => cut.accepted), [best] = found.cuts;
  if (best === undefined) return [{ text: 'Too few revisions to look for times of change.', basis: [] }];
  if (accepted.length === 0) {
    return [{ text: `None was found. Of the ${formatCount(best.candidates)} days tried the best is ${when(best.day)} after surgery (${formatPEquation(best.p)}), and with so many tried it would have to be below ${best.needed.toPrecision(1)}.`, basis: [] }];
  }
  return [{ text: `Found at ${formatList(accepted.map(({ day, p, candidates }) => `${when(day)} after surgery (${formatPEquation(p)}, the best of ${formatCount(candidates)} days)`))}.`, basis: [] }];
}

function parts(analysis: Analysis, result: RatioOverTime, place: Place): readonly ForestPart[] {
  const { single, found, groupsProportional } = result, adjusted = capital(adjustedWords(result));
  const rowsOf = (key: string, ratios: readonly HazardRatio[]) => ratios.filter(({ term }) => term === 'group').map((ratio) => forestRow(analysis.groups, ratio, place, { key: `${key}:${ratio.level}` }));
  const one: ForestPart = 'status' in single
    ? { key: 'single', heading: 'One ratio for all time', note: `Can’t be estimated: ${reasonWords(single.reason)}`, demoted: true, rows: [] }
    : {
      key: 'single', heading: `${adjusted}, one ratio for all time`, demoted: !groupsProportional, rows: rowsOf('single', single),
      note: groupsProportional ? null : 'Hides the change and is given for completeness only',
    };
  const byPeriod = found.status === 'ok' && found.periods.length > 1
    ? found.periods.map((period, i): ForestPart => ({
      key: `found-${period.fromDay}`, heading: `Exploratory, ${periodName(period, [])}`, note: withinNote(found, i), demoted: false, rows: rowsOf(`found-${period.fromDay}`, period.ratios),
    })) : [];
  return groupsProportional ? [one, ...byPeriod] : [...byPeriod, one];
}

const withinNote = ({ within }: FoundPeriods, i: number): string | null => {
  const test = within[i];
  return test?.status === 'ok' ? `That it stays the same within these times: ${formatPEquation(test.p)}` : null;
};

const periodsTable = (analysis: Analysis, { single, found }: RatioOverTime): ReportTable => {
  const periods = found.status === 'ok' && found.periods.length > 1 ? found.periods.map((period) => ({ name: `Found: ${periodName(period, [])}`, ratios: period.ratios })) : [];
  const all = [...('status' in single ? [] : [{ name: 'All time', ratios: single }]), ...periods];
  return {
    name: 'hazard-ratios-over-time',
    title: 'Hazard ratios over time',
    method: `Cox regression; limits at ${formatConfidence(analysis.question.confidence)}. Found times are exploratory: they were found in the same data (Goodman, Li & Tiwari 2011, J Appl Stat 38:2523).`,
    columns: [words('Time'), ...ratioColumns],
    rows: all.flatMap(({ name, ratios }) => ratios.filter(({ term }) => term === 'group').map((ratio): Row => (
      { block: name, group: positionOf(analysis, ratio.level), cells: [text(name), ...ratioCells(ratio)] }))),
  };
};
