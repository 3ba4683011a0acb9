import { dateOf } from '../../contract/calendarDay';
import type { Monitoring, MonitoringChart, Signal } from '../../screening/monitoring/monitoringResult';
import { formatCount, formatDate, formatDecimal, formatPercent, formatRatio, formatSpan } from '../format';
import { capital, finished, reasonWords, type Sentence } from '../phrases';
import { guardedCount, isSmall } from '../smallCounts';
import { ordinal } from '../units/observedExpected';
import { lookLabels, subjectNouns } from './monitoringQuestionWords';

export const onDay = (day: number): string => formatDate(dateOf(day));
const poor = 0.5; // chance of detection below which a chart says little; common practice, no source

/** `the look of 31 March 2013, the 33rd of 80`. */
export function lookWords({ looks }: Monitoring, look: number | null): string {
  const found = look === null ? undefined : looks[look - 1];
  return found === undefined ? 'no look yet' : `the look of ${onDay(found.day)}, the ${ordinal(look ?? 0)} of ${formatCount(looks.length)}`;
}

function signalWords(monitoring: Monitoring, { signals, resets }: MonitoringChart): readonly Sentence[] {
  const { looks, subject, question } = monitoring, noun = subjectNouns[subject.kind].one, restarted = resets.length > 0;
  if (signals.length === 0) return [{ text: `In ${formatCount(looks.length)} looks the chart of this ${noun} has not signalled.`, staysInside: false }];
  const seen = signals.map((signal) => lookWords(monitoring, signal.look));
  const first: Sentence = {
    text: signals.length === 1 ? `The chart of this ${noun} has signalled: it was above its limit at ${seen[0]}.`
      : `The chart of this ${noun} has signalled ${signals.length === 2 ? 'twice' : `${signals.length} times`}, first seen at ${seen[0]}, last at ${seen.at(-1)}.`,
    staysInside: false,
  };
  const day = (signal: Signal) => onDay(signal.day);
  return [
    first,
    { text: `${signals.length === 1 ? 'The day was' : 'The days were'} ${signals.map(day).join('; ')}.`, staysInside: true }, // the day of somebody's revision
    { text: 'A signal is a question and no verdict: it does not say what lies behind it, and chance alone gives some, as often as is said below.', staysInside: false },
    ...(question.restart === 'afterReview' && !restarted ? [{ text: 'No review after it is recorded here, so the chart goes on.', staysInside: false }] : []),
  ];
}

/** How the chart stands, what it can see, and how often it would signal by chance. */
export function monitoringWords(monitoring: Monitoring): readonly (readonly Sentence[])[] {
  const { chart, question, looks, subject, period } = monitoring, noun = subjectNouns[subject.kind].one, last = looks.at(-1)!;
  if (chart.status !== 'ok') return [finished([{ text: `The chart of this ${noun} can’t be drawn: ${reasonWords(chart.reason)}.`, basis: [] }])];
  const { limit, byChance } = chart, over = formatSpan(question.overYears), drawnYears = (period.lastDay - period.firstDay + 1) / 365.25;
  const counted = finished([{
    text: `By ${onDay(period.lastDay)}, ${formatCount(last.observed)} ${last.observed === 1 ? 'revision was' : 'revisions were'} observed and ${formatDecimal(last.expected)} expected, beginning on ${onDay(period.firstDay)}.`,
    basis: [last.observed],
  }]);
  return [
    [...signalWords(monitoring, chart), ...counted],
    finished([
      {
        text: `It is looked at ${formatCount(looks.length)} times: at the end of each ${lookLabels[period.looks]} and on its last day. The limit of ${formatRatio(limit.threshold)} holds however often one looks: `
          + `by chance alone the chart goes above it in ${formatPercent(100 * limit.falseAlarm)}% of periods of ${over} like the busiest of this one (simulation error ${formatPercent(100 * limit.standardError)} points), and in ${formatPercent(100 * byChance)}% of the ${formatDecimal(drawnYears)} years drawn.`,
        basis: [],
      },
      {
        text: `If revisions came ${formatRatio(question.ratio)} times as often as expected, it would signal within ${over} with a chance of ${formatPercent(100 * limit.detection)}% (simulation error ${formatPercent(100 * limit.detectionError)} points)`
          + `${limit.detection < poor ? ': so seldom that no signal says little' : ''}.`,
        basis: [],
      },
    ]),
  ];
}

/** Of the procedures of the subject that the chart does without. */
export function withoutWords({ leftOut, incomparable, reference, period }: Monitoring): readonly string[] {
  const notes: string[] = [];
  const some = (n: number) => `${guardedCount(n)} ${n === 1 && !isSmall(n) ? 'procedure' : 'procedures'}`;
  if (leftOut > 0) notes.push(`${capital(some(leftOut))} without a record of every covariate are left out`);
  if (incomparable > 0) notes.push(`${capital(some(incomparable))} unlike any of those compared with are in neither number`);
  if (reference.status === 'ok' && !reference.leftOut && reference.ownShare > 0) notes.push(`Its own procedures, ${formatPercent(100 * reference.ownShare)}% of all, are among those that it is held against`);
  if (period.intoLag) notes.push('The chart goes on into days for which reports are still coming in: its end is too low');
  if (period.beforeOpening) notes.push('The chart begins before the registry was opened');
  return notes;
}

