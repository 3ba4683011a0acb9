import type { UnitAnalysis, UnitsAnalysis } from '../../screening/units/unitsResult';
import { caution, paragraph, type Block } from '../blocks';
import { attritionTable, caseMixTable } from '../comparisonTables';
import type { Provenance } from '../csv';
import type { Evidence } from '../evidence';
import { formatList, formatRatio } from '../format';
import { asSentence, capital, finished } from '../phrases';
import { sourceLine } from '../provenance';
import { inSentence } from '../questionWords';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import type { ProtectedTable } from '../table';
import { benchmarkBlocks } from './benchmark';
import { driverBlocks } from './drivers';
import { funnelBlocks } from './funnelBlocks';
import { criteriaTable, observedExpectedTable } from './observedExpected';
import { percentRevisedBlocks } from './percentRevised';
import { qualityBlocks } from './quality';
import { surgeonsTable } from './surgeons';
import { trendBlocks } from './trend';
import { ownLabels, unitNouns, unitsQuestionSentence, unitsSettings } from './unitsQuestionWords';
import { unitsProvenance } from './unitsProvenance';
import { leftOutWords, type UnitsSection } from './unitsReport';
import { besideAll, unitWords } from './unitWords';
import type { UnitsView } from './unitsView';

/** One unit beside its peers, ready to be drawn, in reading order. */
export interface UnitReport {
  readonly status: 'ok';
  readonly about: 'one';
  readonly label: string; // `Hospital H044`
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly sections: readonly UnitsSection[];
  /** Of a hospital; shown when asked for. Null: there are none to show. */
  readonly surgeons: ProtectedTable | null;
  readonly attrition: ProtectedTable;
  readonly basis: string;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly evidence: Evidence | null; // where the unit is asked about
}

const imbalance = 0.1; // absolute standardised difference; Austin 2009, Stat Med 28:3083

function caseMixBlocks({ caseMix, question: { kind } }: UnitAnalysis): readonly Block[] {
  const groups = [{ label: ownLabels[kind] }, { label: 'Peers' }];
  const unlike = caseMix.filter((mix) => mix.largestDifference > imbalance).sort((a, b) => b.largestDifference - a.largestDifference).slice(0, 3);
  const named = unlike.map((mix) => `${inSentence(mix.label)} (${Number.isFinite(mix.largestDifference) ? formatRatio(mix.largestDifference) : 'all against none'})`);
  return [
    { kind: 'table', folded: false, table: protectSmallCounts({ ...caseMixTable({ groups, caseMix }), name: 'case-mix', title: 'Case mix beside the peers’' }) },
    caution(unlike.length === 0
      ? 'The unit’s patients are like its peers’ in every recorded characteristic (standardised differences up to 0.1); they may differ in what is not recorded.'
      : `The unit’s patients differ from its peers’ most in ${formatList(named)}; in brackets the standardised difference. Not everything that differs is adjusted for.`),
  ];
}

function sectionsOf(analysis: UnitAnalysis, all: UnitsAnalysis, view: UnitsView, funnel: readonly Block[]): readonly UnitsSection[] {
  const among = all.units.find(({ id }) => id === analysis.unit.id) ?? null, { several } = unitNouns[analysis.question.kind];
  return [
    { id: 'data-first', heading: 'The data first', blocks: qualityBlocks(analysis) },
    { id: 'in-words', heading: 'In words', blocks: unitWords(analysis, all).flatMap(paragraph) },
    { id: 'case-mix', heading: 'Who was operated on', blocks: caseMixBlocks(analysis) },
    {
      id: 'observed-expected', heading: 'Observed and expected',
      blocks: [
        { kind: 'table', table: observedExpectedTable(analysis, all, among), folded: false },
        { kind: 'table', table: criteriaTable(analysis.question, analysis.line), folded: false },
      ],
    },
    { id: 'funnel', heading: `Among all ${several}`, blocks: [...paragraph(finished([besideAll(analysis, all)])), ...funnel] },
    { id: 'percent-revised', heading: 'Percent revised', blocks: percentRevisedBlocks(analysis) },
    { id: 'drivers', heading: 'What drives it', blocks: driverBlocks(analysis) },
    { id: 'trend', heading: 'By year of surgery', blocks: trendBlocks(analysis) },
    { id: 'benchmark', heading: 'Against a benchmark', blocks: benchmarkBlocks(analysis, view.benchmarkSet) },
  ];
}

export function unitReport(analysis: UnitAnalysis, all: UnitsAnalysis, view: UnitsView): UnitReport {
  const { question, unit, source, methods, notes, line, peers, reference, surgeons } = analysis, noun = unitNouns[unit.kind].one;
  const label = `${capital(noun)} ${unit.id}`, rests = `${guardedCount(line.procedures)} procedures of one ${noun} beside ${guardedCount(reference.procedures)} of its peers (${peers.label}), ${guardedCount(reference.observed)} of them revised`;
  const unnamed: UnitsView = { ...view, names: false }; // what is kept names no peer
  const shared = { methods, notes: [...leftOutWords(analysis.leftOut), ...notes.map(asSentence)] };
  return {
    status: 'ok', about: 'one', label,
    source: sourceLine(source),
    settings: unitsSettings(question),
    provenance: unitsProvenance(analysis, rests, view),
    sections: sectionsOf(analysis, all, view, funnelBlocks(all, view)),
    surgeons: unit.kind === 'hospital' && surgeons.length > 0 ? surgeonsTable(analysis) : null,
    attrition: protectSmallCounts(attritionTable(analysis.attrition)),
    basis: `From ${rests}`,
    ...shared,
    evidence: line.status !== 'flagged' ? null : {
      subject: { kind: unit.kind, id: unit.id, label: `${noun} ${unit.id}` },
      title: 'Observed and expected revisions beside the peers’',
      question: unitsQuestionSentence(question),
      request: { question, unit },
      source, look: null,
      blocks: sectionsOf(analysis, all, unnamed, funnelBlocks(all, unnamed, true)).flatMap(({ heading: text, blocks }): readonly Block[] => [{ kind: 'heading', text }, ...blocks]),
      ...shared,
    },
  };
}
