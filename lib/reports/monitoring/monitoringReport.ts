import type { Monitoring, MonitoringChart, NotMonitored } from '../../screening/monitoring/monitoringResult';
import { paragraph, type Block } from '../blocks';
import { attritionTable } from '../comparisonTables';
import type { Provenance } from '../csv';
import type { Evidence } from '../evidence';
import { formatList } from '../format';
import { asSentence, capital, reasonWords } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { inSentence } from '../questionWords';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import type { ProtectedTable } from '../table';
import { monitorFigure } from './monitorFigure';
import { monitoringSentence, monitoringSettings, roleWords, subjectNouns } from './monitoringQuestionWords';
import { looksTable, testsTable, yearsTable } from './monitoringTables';
import { monitoringWords, withoutWords } from './monitoringWords';

/** A part of the page, in its place. */
export interface MonitoringSection { readonly id: string; readonly heading: string; readonly blocks: readonly Block[] }

/** One chart, ready to be drawn. */
export interface MonitoringReport {
  readonly status: 'ok';
  readonly about: 'one';
  readonly label: string; // `Hospital H044`
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly sections: readonly MonitoringSection[];
  readonly attrition: ProtectedTable;
  readonly basis: string;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly evidence: Evidence | null; // where the chart signalled
}

export interface NotMonitoredReport { readonly status: 'empty'; readonly reason: string; readonly attrition: ProtectedTable }

export const notMonitoredReport = ({ reason, attrition }: NotMonitored): NotMonitoredReport => ({ status: 'empty', reason, attrition: protectSmallCounts(attritionTable(attrition)) });

/** `Hospital H044`, `Glenoid component G-FLU-02`. */
export function subjectLabel({ subject, question }: Monitoring): string {
  const what = subject.kind === 'component' ? roleWords(question) : subject.kind;
  return `${capital(what)} ${subject.id}`;
}

function rests({ procedures, reference, subject }: Monitoring): string {
  const own = `${guardedCount(procedures)} procedures of one ${subjectNouns[subject.kind].one}`;
  if (reference.status !== 'ok') return `${own}; nothing to hold them against: ${reasonWords(reference.reason)}`;
  const adjusted = reference.adjustedFor.length === 0 ? 'not adjusted' : `adjusted for ${formatList(reference.adjustedFor.map(inSentence))}`;
  return `${own} against ${guardedCount(reference.procedures)} procedures of ${reference.label}, ${guardedCount(reference.revisions)} of them revised, ${adjusted}`;
}

function chartBlocks(monitoring: Monitoring, chart: MonitoringChart): readonly Block[] {
  return [{ kind: 'monitor', figure: monitorFigure(monitoring, chart), table: looksTable(monitoring, chart) }];
}

export function monitoringReport(monitoring: Monitoring): MonitoringReport {
  const { chart, question, subject, source, methods, looks } = monitoring, from = rests(monitoring), label = subjectLabel(monitoring);
  const notes = [...withoutWords(monitoring), ...monitoring.notes].map(asSentence);
  const sections: readonly MonitoringSection[] = [
    { id: 'in-words', heading: 'In words', blocks: monitoringWords(monitoring).flatMap(paragraph) },
    ...(chart.status === 'ok' ? [{ id: 'chart', heading: 'The chart', blocks: chartBlocks(monitoring, chart) }] : []),
    { id: 'by-year', heading: 'By calendar year', blocks: [{ kind: 'table', table: yearsTable(monitoring), folded: false }] },
    ...(chart.status === 'ok' ? [{ id: 'limit', heading: 'The limit, and other tests', blocks: [{ kind: 'table' as const, table: testsTable(monitoring, chart), folded: false }] }] : []),
  ];
  const made = [`Compared: ${from}`, ...methods];
  return {
    status: 'ok', about: 'one', label,
    source: sourceLine(source),
    settings: monitoringSettings(question),
    provenance: [
      { label: 'Question', text: monitoringSentence(question) },
      { label: 'Cohort', text: from },
      { label: 'Settings', text: monitoringSettings(question) },
      sourceEntry(source),
      ...methods.map((text) => ({ label: 'Method', text })),
    ],
    sections,
    attrition: protectSmallCounts(attritionTable(monitoring.attrition)),
    basis: `From ${from}`,
    methods, notes,
    evidence: chart.status !== 'ok' || chart.signals.length === 0 ? null : {
      subject: { ...subject, label: `${label[0]?.toLowerCase() ?? ''}${label.slice(1)}` },
      title: 'A signal of the chart over time',
      question: monitoringSentence(question),
      request: { question, unit: subject.kind === 'component' ? null : subject },
      source, look: looks.length,
      blocks: sections.flatMap(({ heading: text, blocks }): readonly Block[] => [{ kind: 'heading', text }, ...blocks]),
      methods: made, notes,
    },
  };
}
