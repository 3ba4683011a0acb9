import type { ChosenComponent, ScreeningQuestion } from '../../contract/screeningQuestion';
import type { ComponentsAnalysis, ScreenedModel } from '../../screening/components/screeningResult';
import { caution, paragraph, type Block } from '../blocks';
import type { Provenance } from '../csv';
import { formatCount, formatList } from '../format';
import { asSentence, finished } from '../phrases';
import { sourceEntry, sourceLine } from '../provenance';
import { guardedTotal } from '../smallCounts';
import { criteriaTable } from './criteria';
import { componentWords, screeningQuestionSentence, screeningSettings } from './screeningQuestionWords';
import { ratesTable, standingLabels, statusLabels } from './screenedTables';
import { foundWords, modelWords } from './screeningWords';
import { standingForest, type Compared } from './standingForest';

/** A part of a page of results, in its place. */
export interface ScreeningSection { readonly id: string; readonly heading: string; readonly blocks: readonly Block[] }

/** A model that can be looked into. */
export interface ListedModel { readonly chosen: ChosenComponent; readonly label: string; readonly procedures: number; readonly flagged: boolean; readonly carried: boolean }

/** The screening, ready to be drawn. */
export interface ScreeningReport {
  readonly status: 'ok';
  readonly question: ScreeningQuestion;
  readonly source: string;
  readonly settings: string;
  readonly provenance: Provenance;
  readonly models: readonly ListedModel[];
  readonly sections: readonly ScreeningSection[];
  readonly basis: string;
  readonly methods: readonly string[];
  readonly notes: readonly string[];
}
export interface NoScreeningReport { readonly status: 'empty'; readonly reason: string }

const listed = (model: ScreenedModel): ListedModel => ({
  chosen: { model: model.model, class: model.class as ChosenComponent['class'] }, label: componentWords(model), procedures: model.procedures,
  flagged: model.status === 'flagged', carried: model.flaggedAtLooks.length > 0,
});

const total = (models: readonly ScreenedModel[], of: 'procedures' | 'observed', role: string): string => guardedTotal(models.filter((m) => m.role === role).map((m) => m[of]));

/** Procedures are counted once for each role that they have a component of. */
export function screenedOf({ models }: Pick<ComponentsAnalysis, 'models'>): string {
  const roles = [...new Set(models.map(({ role }) => role))];
  return `${formatCount(models.length)} models; procedures by role: ${roles.map((role) => `${role.replace('_', ' ')} ${total(models, 'procedures', role)}, ${total(models, 'observed', role)} revised`).join('; ')}`;
}

export const screeningProvenance = ({ question, source, methods, models }: ComponentsAnalysis): Provenance => [
  { label: 'Question', text: screeningQuestionSentence(question) },
  { label: 'Cohort', text: screenedOf({ models }) },
  { label: 'Settings', text: screeningSettings(question) },
  sourceEntry(source),
  ...methods.map((text) => ({ label: 'Method', text })),
];

function flaggedBlocks({ question }: ComponentsAnalysis, flagged: readonly { readonly model: ScreenedModel; readonly comparison: Compared['comparison'] | null }[]): readonly Block[] {
  if (flagged.length === 0) return paragraph(finished([{ text: 'No model met every condition.', basis: [] }]));
  const compared = flagged.flatMap(({ model, comparison }): readonly Compared[] => (comparison === null ? [] : [{ model, comparison }])), { confidence } = question.criteria;
  return [
    ...compared.flatMap((one) => paragraph(finished(modelWords(one, confidence)))),
    ...standingForest(compared, confidence),
    { kind: 'table', table: criteriaTable(flagged, question), folded: false },
    caution('Limits hold for one model at a time. That a model stands adjusted leaves open what is not recorded, and whether a component it is used with is the reason.'),
  ];
}

function carriedBlocks(analysis: ComponentsAnalysis, carried: readonly ScreenedModel[], comparisonOf: (model: ScreenedModel) => Compared['comparison'] | null): readonly Block[] {
  const { question, gone } = analysis, { confidence } = question.criteria;
  const compared = carried.flatMap((model): readonly Compared[] => { const comparison = comparisonOf(model); return comparison === null ? [] : [{ model, comparison }]; });
  const looks = (model: ScreenedModel) => `${statusLabels[model.status]} now; flagged at look ${formatList(model.flaggedAtLooks.map(String))}${standingNow(comparisonOf(model))}`;
  return [
    ...paragraph(finished([{ text: 'Signals of earlier looks stay here until people close them, whatever the model does now.', basis: [] }])),
    ...compared.filter(({ model }) => model.status !== 'flagged').flatMap((one) => paragraph(finished(modelWords(one, confidence)))),
    ...(carried.length === 0 ? [] : [{ kind: 'table' as const, table: ratesTable('carried-forward', 'Carried forward from earlier looks', carried, question, looks, 'Standing'), folded: false }]),
    ...paragraph(finished(gone.length === 0 ? [] : [{ text: `Flagged earlier, and with no procedure in this cohort: ${gone.map(({ model, look }) => `${model} (look ${look})`).join(', ')}.`, basis: [] }])),
  ];
}
const standingNow = (comparison: Compared['comparison'] | null): string => (comparison === null ? '' : `; ${standingLabels[comparison.standing]}`);

function restBlocks(analysis: ComponentsAnalysis, status: 'passed' | 'notAssessed'): readonly Block[] {
  const { models, question } = analysis, those = models.filter((model) => model.status === status);
  if (those.length === 0) return paragraph(finished([{ text: status === 'passed' ? 'None.' : 'None: every model could be assessed.', basis: [] }]));
  const sentence = status === 'passed'
    ? `${formatCount(those.length)} models did not meet every condition for a flag. The last columns say which were not met, and which ratio could have been seen.`
    : `${formatCount(those.length)} models had too little to be assessed by the conditions set, or no others of their kind. Nothing is said of them.`;
  return [
    ...paragraph(finished([{ text: sentence, basis: [] }])),
    { kind: 'table', folded: true, table: ratesTable(status === 'passed' ? 'passed' : 'not-assessed', status === 'passed' ? 'Models that passed' : 'Models that were not assessed', those, question) },
  ];
}

export function screeningReport(analysis: ComponentsAnalysis): ScreeningReport {
  const { question, models, adjusted, source, methods, notes } = analysis;
  const comparisonOf = (model: ScreenedModel) => adjusted.find(({ place }) => models[place] === model)?.comparison ?? null;
  const flagged = models.filter(({ status }) => status === 'flagged').map((model) => ({ model, comparison: comparisonOf(model) }));
  const compared = flagged.flatMap(({ model, comparison }): readonly Compared[] => (comparison === null ? [] : [{ model, comparison }]));
  const carried = models.filter(({ flaggedAtLooks }) => flaggedAtLooks.length > 0);
  return {
    status: 'ok', question, source: sourceLine(source), settings: screeningSettings(question), provenance: screeningProvenance(analysis),
    models: models.map(listed),
    sections: [
      { id: 'in-words', heading: 'In words', blocks: paragraph(finished(foundWords(analysis, compared))) },
      { id: 'flagged', heading: 'Flagged, and what comes of it once adjusted', blocks: flaggedBlocks(analysis, flagged) },
      ...(question.earlier.length === 0 ? [] : [{ id: 'carried-forward', heading: 'Carried forward from earlier looks', blocks: carriedBlocks(analysis, carried, comparisonOf) }]),
      { id: 'passed', heading: 'Passed', blocks: restBlocks(analysis, 'passed') },
      { id: 'not-assessed', heading: 'Not assessed', blocks: restBlocks(analysis, 'notAssessed') },
    ],
    basis: `From ${screenedOf(analysis)}`,
    methods, notes: notes.map(asSentence),
  };
}
