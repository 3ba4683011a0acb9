import { dateOf } from '../../contract/calendarDay';
import type { Monitoring, MonitoringChart } from '../../screening/monitoring/monitoringResult';
import { formatCount, formatDecimal, formatExpected, formatPercent, formatPoints, formatRatio, formatSpan } from '../format';
import { reasonWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Row } from '../table';
import { derived, number, plain, words } from '../tableCells';
import { smallAtLooks } from './disclosed';
import { lookLabels } from './monitoringQuestionWords';
import { lookWords, onDay } from './monitoringWords';

/** The chart as numbers, at each look. */
export function looksTable(monitoring: Monitoring, chart: MonitoringChart): ProtectedTable {
  const { looks, period } = monitoring, small = smallAtLooks(looks);
  const seen = (i: number) => chart.signals.flatMap(({ look }, s) => (look === i + 1 ? [`S${s + 1} signal`] : []));
  const restarted = (i: number) => chart.resets.flatMap((day, r) => (day <= looks[i]!.day && day > (looks[i - 1]?.day ?? -Infinity) ? [`R${r + 1} starts again on ${onDay(day)}`] : []));
  return protectSmallCounts({
    name: 'chart-by-look',
    title: `The chart at the end of each ${lookLabels[period.looks]}`,
    method: 'To date: since the first day of the chart. Outside this page a look is left out where few revisions happened until the next one that is told.',
    columns: [number('Look'), words('Day'), number('Observed to date'), number('Expected to date'), number('Observed − expected'), number('Chart'), words('What happened')],
    rows: looks.map(({ day, observed, expected, value }, i): Row => {
      const basis = [observed, small[i]!];
      return {
        cells: [
          plain(i + 1), text(onDay(day)), derived(observed, formatCount, basis), derived(expected, formatExpected, []), derived(observed - expected, formatPoints, basis),
          derived(value, formatRatio, basis), text([...seen(i), ...restarted(i)].join('; ')),
        ],
      };
    }),
  });
}

/** A year is told of where both its ends are. */
export function yearsTable({ years, looks }: Monitoring): ProtectedTable {
  const small = smallAtLooks(looks), endOf = (year: number): number => looks.findIndex(({ day }) => dateOf(day) >= `${year}-12-31`);
  const smallAtEnd = (year: number): number => { const at = endOf(year); return at < 0 ? (small.at(-1) ?? 0) : small[at]!; };
  return protectSmallCounts({
    name: 'observed-expected-by-year',
    title: 'Observed and expected revisions by calendar year',
    method: 'By the year of the revision, not of the operation.',
    columns: [words('Year'), number('Observed'), number('Expected'), number('Observed − expected')],
    rows: years.map(({ year, observed, expected }, i): Row => {
      const basis = [observed, smallAtEnd(year), i === 0 ? 0 : smallAtEnd(years[i - 1]!.year)];
      return { cells: [text(String(year)), derived(observed, formatCount, basis), derived(expected, formatExpected, []), derived(observed - expected, formatPoints, basis)] };
    }),
  });
}

/** The limit, what it can see, and what other sequential tests say of the same revisions. */
export function testsTable(monitoring: Monitoring, { value, limit, accrual, byChance, signals, sprt, maxSprt }: MonitoringChart): ProtectedTable {
  const { looks, question, period } = monitoring, last = looks.at(-1)!, basis = [last.observed], over = formatSpan(question.overYears);
  const seenFrom = (day: number | null): string => (day === null ? 'no' : lookWords(monitoring, lookAfter(day)));
  const lookAfter = (day: number): number | null => { const at = looks.findIndex((look) => look.day >= day); return at < 0 ? null : at + 1; };
  const row = (label: string, cell: Cell): Row => ({ cells: [text(label), cell] });
  const now = (v: number) => derived(v, (n) => (n < 0 ? `−${formatRatio(-n)}` : formatRatio(n)), basis);
  return protectSmallCounts({
    name: 'limit-and-tests',
    title: 'The limit, and other sequential tests of the same revisions',
    method: `The limit is found from ${formatCount(limit.histories)} simulated periods of ${over} with ${formatDecimal(accrual.expected)} revisions expected${accrual.repeated ? ', the days of the chart repeated' : `, as from ${onDay(accrual.fromDay)} on`}. `
      + 'Sequential probability ratio test: Wald 1945; Spiegelhalter et al. 2003, Int J Qual Health Care 15:7. Maximised: Kulldorff et al. 2011, Seq Anal 30:58.',
    columns: [words('Measure'), number('Value')],
    rows: [
      row('Cumulative sum: limit', plain(limit.threshold, formatRatio)),
      row(`Cumulative sum on ${onDay(period.lastDay)}`, now(value.at(-1)!)),
      row('Above the limit', text(signals.length === 0 ? 'no' : `first seen at ${lookWords(monitoring, signals[0]!.look)}`)),
      row(`Chance of a false signal in ${over}, %`, plain(100 * limit.falseAlarm, formatPercent)),
      row('… simulation error, points', plain(100 * limit.standardError, formatPercent)),
      row('Chance of a false signal over all days drawn, %', plain(100 * byChance, formatPercent)),
      row(`Chance of a signal in ${over} at ${formatRatio(question.ratio)} times the expected, %`, plain(100 * limit.detection, formatPercent)),
      row('… simulation error, points', plain(100 * limit.detectionError, formatPercent)),
      row('Sequential probability ratio test: value now', now(sprt.value)),
      row('… bounds', text(`−${formatRatio(-sprt.lower)} and ${formatRatio(sprt.upper)}`)),
      row('… decided', text(sprt.decision === null ? 'no' : `for ${sprt.decision.side === 'higher' ? 'the higher rate' : 'the expected rate'}, at ${seenFrom(sprt.decision.day)}`)),
      ...(maxSprt.status === 'ok'
        ? [row('Maximised ratio test: value now', now(maxSprt.value)), row('… critical value', plain(maxSprt.criticalValue, formatRatio)), row('… signal', text(seenFrom(maxSprt.signal)))]
        : [row('Maximised ratio test', text(reasonWords(maxSprt.reason)))]),
    ],
  });
}

