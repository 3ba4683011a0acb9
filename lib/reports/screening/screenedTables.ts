import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import type { Criterion } from '../../screening/components/componentScreening';
import type { ScreenedModel, Standing } from '../../screening/components/screeningResult';
import { formatConfidence, formatCount, formatExpected, formatList, formatP, formatRatio } from '../format';
import { reasonWords } from '../phrases';
import { protectSmallCounts } from '../smallCounts';
import { text, type Cell, type ProtectedTable, type Row } from '../table';
import { count, derived, estimateCells, number, words } from '../tableCells';
import { kindLabel } from './screeningQuestionWords';

export const standingLabels: Readonly<Record<Standing, string>> = {
  upheld: 'stands adjusted, within hospitals and without its largest users', hospitals: 'stands adjusted, but not, or not to be told, apart from the hospitals that use it',
  notUpheld: 'does not stand once adjusted', cannotSay: 'cannot be said',
};
export const statusLabels: Readonly<Record<ScreenedModel['status'], string>> = { flagged: 'flagged', passed: 'passed', notAssessed: 'not assessed' };

const unmetLabels: Readonly<Record<Criterion['name'], string>> = {
  others: 'no others of its kind', atRisk: 'too few at risk', expected: 'too few revisions expected', ratio: 'ratio', shrunkenLower: 'shrunken limit', adjustedP: 'chance',
};
export const unmetWords = ({ criteria }: ScreenedModel): string => formatList(criteria.filter(({ status }) => status === 'notMet').map(({ name }) => unmetLabels[name]));

const detectableCell = ({ detectable, others }: ScreenedModel): Cell =>
  (typeof detectable === 'number' ? derived(detectable, formatRatio, [others.observed]) : text(reasonWords(detectable.reason)));

const ratioOf = ({ ratio }: ScreenedModel) => (ratio.status === 'ok' ? { value: ratio.ratio, lower: ratio.lower, upper: ratio.upper } : ratio);

/** Models with their rates, in the order of kind and code. */
export const ratesTable = (name: string, title: string, models: readonly ScreenedModel[], question: ScreeningQuestion, standingOf: (model: ScreenedModel) => string = unmetWords, last = 'Not met'): ProtectedTable => protectSmallCounts({
  name, title,
  method: `In the order of kind and code, which is no ranking. Expected: were the model like all of its kind, over the follow-up it had; nothing is adjusted for. Ratio: of its rate to that of all others of its kind, exact limits at ${formatConfidence(question.criteria.confidence)}. p: one-sided, mid-P, adjusted for all models assessed. Detectable: the ratio that so many revisions would let one see with a power of 80 % at a two-sided level of 5 %.`,
  columns: [
    words('Kind'), words('Model'), number('Procedures'), number('At risk'), number('Revised'), number('Expected'), number('Per 100 component-years'), number('Ratio'), number('Lower'), number('Upper'),
    number('Shrunken'), number('p, adjusted'), number('Detectable'), words(last),
  ],
  rows: models.map((model): Row => {
    const { observed, procedures, expected, per100, shrunken, p } = model;
    return {
      block: model.kind,
      cells: [
        text(kindLabel(model, question.comparator)), text(`${model.model}${model.inComparator ? '' : ' (left out of the comparators)'}`), count(procedures), { text: formatCount(model.atRisk), value: model.atRisk, basis: [model.atRisk] },
        count(observed), derived(expected, formatExpected, [procedures]), 'value' in per100 ? derived(per100.value, formatRatio, [observed]) : text(reasonWords(per100.reason)),
        ...estimateCells(ratioOf(model), formatRatio, [observed]), shrunken.status === 'ok' ? derived(shrunken.mean, formatRatio, [observed]) : text('–'),
        p === null ? text('–') : derived(p.adjusted, formatP, [observed]), detectableCell(model), { text: standingOf(model), basis: [] },
      ],
    };
  }),
});
