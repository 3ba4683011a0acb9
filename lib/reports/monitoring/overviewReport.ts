import { labelOf, designClassCodes } from '../../contract/codes';
import type { MonitoringOverview, MonitoredLine } from '../../screening/monitoring/monitoringResult';
import { caution, paragraph, type Block } from '../blocks';
import { attritionTable } from '../comparisonTables';
import type { Provenance } from '../csv';
import { formatCount, formatDecimal, formatExpected, formatList, formatPercent, formatRatio, formatSpan } from '../format';
import { asSentence, capital, finished, reasonWords, type Sentence } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { inSentence } from '../questionWords';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Row } from '../table';
import { count, derived, number, plain, words } from '../tableCells';
import { aPeer } from '../units/funnelBlocks';
import { leftOutWords } from '../units/unitsReport';
import { monitoringSentence, monitoringSettings, roleWords, subjectNouns } from './monitoringQuestionWords';
import type { MonitoringSection } from './monitoringReport';
import { onDay } from './monitoringWords';

/** How all charts are shown. */
export interface OverviewView {
  readonly names: boolean; // units by their identifiers; else each is “a peer”
  readonly marked: string | null; // the one that is looked at
}

/** All charts of a kind at once, ready to be drawn. */
export interface OverviewReport {
  readonly status: 'ok';
  readonly about: 'all';
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly sections: readonly MonitoringSection[];
  readonly attrition: ProtectedTable;
  readonly basis: string;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}

const sum = (values: readonly number[]): number => values.reduce((total, v) => total + v, 0);

function overviewWords({ lines, question, lastDay }: MonitoringOverview): readonly (readonly Sentence[])[] {
  const { one, several } = subjectNouns[question.kind], drawn = lines.filter(({ limit }) => limit.status === 'ok');
  const signalled = drawn.filter(({ signals }) => signals.length > 0).length, byChance = sum(drawn.map((line) => line.byChance));
  const few = drawn.filter(({ limit }) => limit.status === 'ok' && limit.detection < 0.5).length, over = formatSpan(question.overYears);
  return [
    finished([
      { text: `${formatCount(drawn.length)} ${drawn.length === 1 ? one : several} ${drawn.length === 1 ? 'has' : 'have'} a chart up to ${onDay(lastDay)}; ${signalled === 0 ? 'none has' : signalled === 1 ? 'one has' : `${formatCount(signalled)} have`} signalled at some time.`, basis: [] },
      { text: `By chance alone about ${formatDecimal(byChance)} would have in the years drawn, and about ${formatDecimal(question.falseAlarm * drawn.length)} would within ${over} like their busiest.`, basis: [] },
      { text: `What is above that need not be a fault of anybody: ${several} differ a little, and a chart that is looked at long enough finds small differences too.`, basis: [] },
    ]),
    finished([{
      text: `Of ${formatCount(few)} charts so few revisions are expected that they would see ${formatRatio(question.ratio)} times as many within ${over} less often than every second time: that they have not signalled says little.`, basis: [],
    }].filter(() => few > 0)),
  ];
}

function overviewTable({ lines, question, lastDay }: MonitoringOverview, { names, marked }: OverviewView): ProtectedTable {
  const { one } = subjectNouns[question.kind], isComponent = question.kind === 'component';
  const nameOf = ({ id }: MonitoredLine): Cell => (id === marked ? { text: id, ...(!isComponent && { outside: 'looked at' }) } : isComponent ? text(id) : names ? { text: id, outside: aPeer } : text(aPeer));
  return protectSmallCounts({
    name: 'all-charts',
    title: `All charts, most expected revisions first`,
    method: `Limits by one rule: ${formatPercent(100 * question.falseAlarm)}% false signals in ${formatSpan(question.overYears)}, each chart with its own accrual; here every chart starts again after each signal. Ratios of two charts are not comparable with each other.`,
    columns: [
      words(capital(one)), ...(isComponent ? [words('Against others of')] : []), number('Procedures'), number('Observed'), number('Expected'), number('Limit'), number('Sees it, %'),
      number(`Chart on ${onDay(lastDay)}`), number('Signals'), words('First'), words('Last'),
    ],
    rows: lines.map((line): Row => {
      const { limit, observed, expected, signals, value } = line, basis = [observed];
      const month = (day: number | undefined): Cell => (day === undefined ? text('–') : text(onDay(day).replace(/^\d+ /, '')));
      return {
        cells: [
          nameOf(line), ...(isComponent ? [text(labelOf(designClassCodes, line.design ?? ''))] : []), count(line.procedures), count(observed), derived(expected, formatExpected, []),
          ...(limit.status === 'ok'
            ? [plain(limit.threshold, formatRatio), plain(100 * limit.detection, formatPercent), derived(value, formatRatio, basis), derived(signals.length, formatCount, basis), month(signals[0]), month(signals.at(-1))]
            : [text(reasonWords(limit.reason)), text(''), text(''), text(''), text('–'), text('–')]),
        ],
      };
    }),
  });
}

export function overviewReport(overview: MonitoringOverview, view: OverviewView): OverviewReport {
  const { question, source, methods, lines, adjustedFor } = overview, { several } = subjectNouns[question.kind];
  const who = question.kind === 'component' ? `models of the ${roleWords(question)}` : several;
  const from = `${guardedCount(sum(lines.map(({ procedures }) => procedures)))} procedures of ${formatCount(lines.length)} ${who}, ${guardedCount(sum(lines.map(({ observed }) => observed)))} revised, `
    + (adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${formatList(adjustedFor.map(inSentence))}`);
  const blocks: readonly Block[] = [
    { kind: 'table', table: overviewTable(overview, view), folded: false },
    caution('The order is that of expected revisions, which is how much a chart can see. It is no ranking.'),
  ];
  return {
    status: 'ok', about: 'all',
    source: sourceLine(source),
    settings: monitoringSettings(question),
    provenance: [
      { label: 'Question', text: monitoringSentence(question) },
      { label: 'Cohort', text: from },
      { label: 'Settings', text: monitoringSettings(question) },
      sourceEntry(source),
      ...methods.map((method) => ({ label: 'Method', text: method })),
    ],
    sections: [
      { id: 'in-words', heading: 'In words', blocks: overviewWords(overview).flatMap(paragraph) },
      { id: 'all-charts', heading: `The charts of all ${who}`, blocks },
    ],
    attrition: protectSmallCounts(attritionTable(overview.attrition)),
    basis: `From ${from}`,
    methods,
    notes: [...leftOutWords(overview.leftOut), ...overview.notes.map(asSentence)],
  };
}

