import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Criterion } from '../../screening/components/componentScreening';
import type { AdjustedComparison, AdjustedCriterion, ScreenedModel } from '../../screening/components/screeningResult';
import { formatConfidence, formatCount, formatDecimal, formatP, formatRatio, formatSpan } from '../format';
import { capital, reasonWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Row } from '../table';
import { derived, number, words } from '../tableCells';
import { componentWords } from './screeningQuestionWords';

/** Each condition in words. */
const labels = ({ atRiskYears, confidence }: ScreeningQuestion['criteria'], byPeriod: boolean): Readonly<Record<Criterion['name'] | AdjustedCriterion['name'], string>> => ({
  others: 'Revisions expected among others of its kind, above',
  atRisk: `Procedures at risk at ${formatSpan(atRiskYears)}, at least`,
  expected: 'Revisions expected, at least',
  ratio: 'Rate in multiples of the others’, at least',
  shrunkenLower: `Lower ${formatConfidence(confidence)} limit of the shrunken ratio, above`,
  adjustedP: 'Chance (mid-P), adjusted for all models assessed, at most',
  adjusted: `Lower ${formatConfidence(confidence)} limit of the adjusted ratio${byPeriod ? ' in some period' : ''}, above`,
  withinHospitals: `… within each hospital${byPeriod ? ', in such a period' : ''}, above`,
  withoutLargestUser: `… without the largest hospital users${byPeriod ? ', in such a period' : ''}, above`,
});
const metWords = { met: 'yes', notMet: 'no', notApplied: 'not applied' } as const;

function formatOf(name: Criterion['name'] | AdjustedCriterion['name']): (value: number) => string {
  if (name === 'atRisk') return formatCount;
  if (name === 'adjustedP') return formatP;
  return name === 'expected' || name === 'others' ? formatDecimal : formatRatio;
}

const stageOf = (name: Criterion['name'] | AdjustedCriterion['name']): string =>
  (name === 'others' || name === 'atRisk' || name === 'expected' ? 'To be assessed' : name === 'ratio' || name === 'shrunkenLower' || name === 'adjustedP' ? 'To be flagged' : 'To stand');

/** Of one model: every condition, its bound and what was found. */
function criterionRows(model: ScreenedModel, comparison: AdjustedComparison | null, question: ScreeningQuestion): readonly Row[] {
  const named = labels(question.criteria, comparison?.byPeriod ?? false), all = [...model.criteria, ...(comparison?.criteria ?? [])];
  return all.map(({ name, status, value, bound, reason }, i): Row => {
    const format = formatOf(name), basis = name === 'expected' || name === 'others' ? [model.procedures] : name === 'atRisk' ? [model.atRisk] : [model.observed];
    const found: Cell = reason === null ? derived(value, value === Infinity ? () => 'all of them' : format, basis) : { text: reasonWords(reason), basis };
    return { block: model.key, cells: [text(i === 0 ? capital(componentWords(model)) : ''), text(stageOf(name)), text(named[name]), derived(bound, format, []), found, { text: metWords[status], basis }] };
  });
}

export const criteriaTable = (models: readonly { readonly model: ScreenedModel; readonly comparison: AdjustedComparison | null }[], question: ScreeningQuestion): ProtectedTable => protectSmallCounts({
  name: 'criteria',
  title: 'Every condition, its bound, and what was found',
  method: 'The conditions are this project’s own and can be changed. What could not be had is not applied, and the others decide. Stages as in de Steiger et al. 2013, Acta Orthop 84:348.',
  columns: [words('Model'), words('Stage'), words('Condition'), number('Bound'), number('Found'), words('Met')],
  rows: models.flatMap(({ model, comparison }) => criterionRows(model, comparison, question)),
});
