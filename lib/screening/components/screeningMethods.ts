import { alpha, power } from '../../analysis/chapters/detectable';
import { limits } from '../../analysis/chapters/basis';
import type { ComponentsAnalysis, ScreenedModel } from './screeningResult';
import type { ScreeningQuestion } from '../../contract/screeningQuestion';

/** One per estimator, a phrase each: its name, its source and the settings that it was given. */
export const methodsOf = ({ criteria: { confidence, falseDiscoveryRate, test } }: ScreeningQuestion): readonly string[] => [
  'Revisions to expect: one hazard for all of a kind (Nelson–Aalen) over the follow-up of each model (Berry 1983); nothing is adjusted for',
  test === 'conditional'
    ? `Rates: exact test of a model’s share of the revisions, one-sided, mid-P (Przyborowski and Wilenski 1940); exact ${limits(confidence)} (Clopper and Pearson 1934)`
    : `Rates: exact Poisson test, one-sided, mid-P, the others’ rate taken as known; exact ${limits(confidence)} (Garwood 1936)`,
  `False discovery rate of ${Number((100 * falseDiscoveryRate).toFixed(2))} % over all models assessed, of all roles together (Benjamini and Hochberg 1995)`,
  `Shrunken ratios: gamma–Poisson (Clayton and Kaldor 1987), ${limits(confidence)}`,
  `Adjusted ratios: cause-specific hazards, Cox 1972, ties as in Efron 1977; ${limits(confidence)} robust over hospitals (Lin and Wei 1989); within hospitals a baseline hazard each`,
  'Proportional hazards: score test of Grambsch and Therneau 1994; where p is below 0.05, ratios by period decide',
  `Detectable ratio: Schoenfeld 1983, power ${100 * power} %, two-sided level ${100 * alpha} %, for one model alone`,
  'Stages as in de Steiger et al. 2013; the conditions and their bounds are the project’s own',
];

/** What a reader must know of the run. */
export function notesOf({ exceptModels, look }: ScreeningQuestion, models: ComponentsAnalysis['models']): readonly string[] {
  const alone = models.filter(({ othersProcedures }) => othersProcedures === 0), unknown = exceptModels.filter((code) => !models.some(({ model }) => model === code));
  const named = (list: readonly ScreenedModel[]) => [...new Set(list.map(({ model }) => model))].join(', ');
  return [
    ...(look > 1 ? [`This is look ${look}: the share of false flags is held within a look, so that over all looks together it is larger.`] : []),
    ...(alone.length > 0 ? [`Without others of their kind to be held against, and so not assessed: ${named(alone)}. A wider comparator may have some.`] : []),
    ...(unknown.length > 0 ? [`To be left out of the comparators, but used by no procedure here: ${unknown.join(', ')}.`] : []),
  ];
}
