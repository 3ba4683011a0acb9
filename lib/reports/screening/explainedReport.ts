import { toAddress } from '../../contract/address';
import { MonitoringQuestion } from '../../contract/monitoringQuestion';
import { toMonitoringAddress } from '../../contract/monitoringAddress';
import type { ChosenComponent } from '../../contract/screeningQuestion';
import { View } from '../../contract/view';
import type { ComponentExplained, NotExplained } from '../../screening/components/explainedResult';
import { caution, heading, paragraph, type Block } from '../blocks';
import { attritionTable, caseMixTable } from '../comparisonTables';
import type { Provenance } from '../csv';
import type { Evidence } from '../evidence';
import { asSentence, capital, finished } from '../phrases';
import { sourceEntry } from '../provenance';
import { guardedCount, protectSmallCounts } from '../smallCounts';
import type { ProtectedTable } from '../table';
import { criteriaTable } from './criteria';
import { concentrationTable, driverTable, partnerTable } from './explainedTables';
import { explainedWords } from './explainedWords';
import { componentWords, screeningQuestionSentence, screeningSettings } from './screeningQuestionWords';
import { modelWords } from './screeningWords';
import { standingForest } from './standingForest';

/** How it is shown. It changes no number. */
export interface ExplainedView { readonly names: boolean } // of hospitals and surgeons, on the page only

/** What lies behind one model, ready to be drawn. */
export interface ExplainedReport {
  readonly status: 'ok';
  readonly chosen: ChosenComponent;
  readonly label: string;
  readonly blocks: readonly Block[];
  readonly provenance: Provenance;
  readonly comparison: string; // query part of the address of the same question on the page that compares
  readonly overTime: string; // … of the page that follows it over calendar time
  readonly attrition: ProtectedTable;
  readonly basis: string;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
  readonly evidence: Evidence;
}
export interface NotExplainedReport { readonly status: 'empty'; readonly reason: string }

const table = (of: ProtectedTable, folded: boolean): Block => ({ kind: 'table', table: of, folded });

/** `alone`: its ratios stand nowhere else on the page. */
function blocksOf(all: ComponentExplained, names: boolean, alone: boolean): readonly Block[] {
  const { component: model, comparison, question, drivers, partners, groups, caseMix } = all, { confidence } = question.criteria;
  const [reasons, hospitals, surgeons, ...others] = drivers;
  return [
    ...explainedWords(all).flatMap((words) => paragraph(finished(words))),
    ...(alone ? standingForest([{ model, comparison }], confidence) : []),
    heading('Few hospitals or surgeons'), table(concentrationTable(all), false),
    ...[hospitals, surgeons].flatMap((driver) => (driver === undefined ? [] : [table(driverTable(driver, confidence, names), true)])),
    heading('Reasons'), ...(reasons === undefined ? [] : [table(driverTable(reasons, confidence, names), false)]),
    heading('Components that it was used with'),
    ...(partners.length === 0 ? paragraph(finished([{ text: 'No other component is recorded with it.', basis: [] }])) : partners.map((one) => table(partnerTable(one, confidence), true))),
    heading('Period, indication, class and first use'), ...others.map((driver) => table(driverTable(driver, confidence, names), true)),
    heading('Case mix beside all others of its kind'), table(protectSmallCounts({ ...caseMixTable({ groups, caseMix }), name: 'case-mix', title: 'Case mix beside all others of its kind' }), true),
    caution('Each table cuts the same procedures in another way. Many parts are looked at, so some stand out by chance. A part that stands out says where to look, and not why.'),
  ];
}

/** The same model, over calendar time. */
const overTime = ({ question: { cohort, outcome, adjust, horizonYears }, component: { role, model } }: ComponentExplained): string =>
  toMonitoringAddress(MonitoringQuestion.parse({ kind: 'component', role, model, cohort, outcome, adjust, horizonYears }));

export function explainedReport(all: ComponentExplained | NotExplained, { names }: ExplainedView): ExplainedReport | NotExplainedReport {
  if (all.status === 'empty') return all;
  const { question, component: model, comparison, source, whole, reference, attrition, methods } = all, { confidence } = question.criteria;
  const chosen: ChosenComponent = { model: model.model, class: model.class as ChosenComponent['class'] }, label = componentWords(model), notes = all.notes.map(asSentence);
  const basis = `From ${guardedCount(whole.procedures)} procedures with the model, ${guardedCount(whole.observed)} revised, and ${guardedCount(reference.procedures)} with others of its kind, ${guardedCount(reference.observed)} revised`;
  return {
    status: 'ok', chosen, label, blocks: blocksOf(all, names, model.status !== 'flagged'),
    provenance: [
      { label: 'Question', text: screeningQuestionSentence(question) }, { label: 'Model', text: label }, { label: 'Cohort', text: basis }, { label: 'Settings', text: screeningSettings(question) },
      sourceEntry(source),
      ...methods.map((text) => ({ label: 'Method', text })),
    ],
    comparison: toAddress(comparison.question, View.parse({})), overTime: overTime(all),
    attrition: protectSmallCounts(attritionTable(attrition)),
    basis, methods, notes,
    evidence: {
      subject: { kind: 'component', id: model.model, label },
      title: `${capital(label)} against all others of its kind`,
      question: screeningQuestionSentence(question),
      request: { screening: question, chosen },
      source, look: question.look,
      blocks: [
        heading('The screening'), ...paragraph(finished(modelWords({ model, comparison }, confidence))), table(criteriaTable([{ model, comparison }], question), false),
        heading('What lies behind it'), ...blocksOf(all, false, true),
      ],
      methods, notes: [screeningSettings(question), ...notes],
    },
  };
}
