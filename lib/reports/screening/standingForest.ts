import type { AdjustedComparison, FittedRatio, ScreenedModel } from '../../screening/components/screeningResult';
import type { HazardRatio } from '../../analysis/result';
import type { NotEstimable } from '../../stats/cells';
import type { Block } from '../blocks';
import { forest, forestRow, wordsRow, type ForestPart, type ForestRow, type Place } from '../forest';
import { formatConfidence, formatList } from '../format';
import { capital, reasonWords } from '../phrases';
import { periodName } from '../plainWords';
import { inSentence } from '../questionWords';
import { protectSmallCounts } from '../smallCounts';
import { text, type ProtectedTable, type Row } from '../table';
import { number, ratioCells, words } from '../tableCells';
import { componentWords } from './screeningQuestionWords';
import { standingLabels } from './screenedTables';

export interface Compared { readonly model: ScreenedModel; readonly comparison: AdjustedComparison }
interface Line { readonly key: string; readonly label: string; readonly ratio: HazardRatio | NotEstimable }

/** The ratios of one model: not adjusted, adjusted, by period where that decides, and apart from hospitals. */
function linesOf({ unadjusted, adjusted, repeats, byPeriod, question, model }: AdjustedComparison): readonly Line[] {
  const fitted = (key: string, label: string, fit: FittedRatio | NotEstimable): readonly Line[] => {
    if (fit.status !== 'ok') return [{ key, label, ratio: fit }];
    const periods = !byPeriod || fit.periods === null || 'status' in fit.periods ? [] : fit.periods;
    return [
      { key, label: byPeriod ? `${label}, all times together` : label, ratio: fit.ratio },
      ...periods.map((period): Line => ({ key: `${key}-${period.fromDay}`, label: `${label}, ${periodName(period, question.cutYears)}`, ratio: period.ratios[0]! })),
    ];
  };
  const named = model === null || model.adjustedFor.length === 0 ? 'Adjusted' : `Adjusted for ${formatList(model.adjustedFor.map(inSentence))}`;
  return [
    { key: 'unadjusted', label: 'Not adjusted', ratio: unadjusted }, ...fitted('adjusted', named, adjusted),
    ...fitted('withinHospitals', 'Adjusted, within each hospital', repeats.withinHospitals), ...fitted('withoutLargestUser', 'Adjusted, without the largest hospital users', repeats.withoutLargestUser),
  ];
}

const rowOf = ({ key, label, ratio }: Line, place: Place, prefix: string): ForestRow =>
  ('status' in ratio ? wordsRow(`${prefix}:${key}`, label, null, reasonWords(ratio.reason)) : forestRow([], ratio, place, { key: `${prefix}:${key}`, label }));

const partOf = ({ model, comparison }: Compared, place: Place): ForestPart => ({
  key: model.key, heading: capital(componentWords(model)), note: `${capital(standingLabels[comparison.standing])}.`, demoted: false,
  rows: linesOf(comparison).map((line) => rowOf(line, place, model.key)),
});

function tableOf(compared: readonly Compared[], confidence: number): ProtectedTable {
  return protectSmallCounts({
    name: 'adjusted-ratios',
    title: 'Hazard ratios against all others of the kind',
    method: `Cause-specific Cox models, ties as in Efron 1977, limits at ${formatConfidence(confidence)} robust over hospitals (Lin & Wei 1989). The reference is all others of the kind together.`,
    columns: [words('Model'), words('Comparison'), number('Procedures'), number('Revised'), number('Hazard ratio'), number('Lower'), number('Upper'), number('p')],
    rows: compared.flatMap(({ model, comparison }) => linesOf(comparison).map(({ label, ratio }): Row => ({
      block: `${model.key} ${label}`,
      cells: 'status' in ratio
        ? [text(model.model), text(label), text(''), text(''), text(reasonWords(ratio.reason)), text(''), text(''), text('')]
        : [text(model.model), ...ratioCells(ratio, label)],
    }))),
  });
}

export const standingForest = (compared: readonly Compared[], confidence: number): readonly Block[] => (compared.length === 0 ? [] : [{
  kind: 'forest', title: 'Hazard ratios against all others of the kind',
  figure: forest((place) => compared.map((one) => partOf(one, place)), { row: 'Model' }), table: tableOf(compared, confidence),
}]);
