import { cohortOf } from '../../analysis/askedCohort';
import { askedGroups } from '../../analysis/askedGroups';
import { askedModel, merged, type CohortToModel } from '../../analysis/askedModel';
import { coxRatios } from '../../analysis/coxResult';
import { groupModels } from '../../analysis/groupModels';
import { groupRatios } from '../../analysis/groupRatios';
import { periodRatios } from '../../analysis/periodRatios';
import type { HazardRatio, PeriodRatios } from '../../analysis/result';
import type { Step } from '../../analysis/step';
import type { Question } from '../../contract/question';
import type { ScreeningQuestion } from '../../contract/screeningQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';
import { withinHospitals, withoutLargestUsers } from './apartFromHospitals';
import { componentQuestion } from './componentQuestion';
import type { AdjustedComparison, AdjustedCriterion, Component, FittedRatio, Standing } from './screeningResult';

/** The second stage for one model: adjusted cause-specific hazard ratio against all others of its kind, and whether it holds apart from hospitals. */
export async function adjustedComparison(extract: LoadedExtract, screening: ScreeningQuestion, component: Component, step: Step): Promise<AdjustedComparison> {
  const question = componentQuestion(screening, component), quietly: Step = () => step(`Adjusting: ${component.model}`, 0.6);
  const found = await askedGroups(extract, question, quietly);
  if (found.status === 'empty') return without(question, found.reason);
  await quietly('', 0);
  const asked = await cohortOf(found, question, 'together');
  const models = groupModels(asked);
  if (models.status !== 'ok') return without(question, models.reason);
  const { plain, adjusted: model, described } = models, crude = groupRatios(plain, question), unadjusted = crude.status === 'ok' ? crude.ratios[0]! : crude;
  if ('reason' in model) return { ...without(question, model.reason), unadjusted };
  await quietly('', 0);
  const fitted = coxRatios(model, { ...described, notes: [] }, question);
  if (fitted.status !== 'ok') return { ...without(question, fitted.reason), unadjusted };
  const adjusted = fitted.tested(), ratio = adjusted.ratios[0]!, tests = adjusted.proportionalHazards;
  const test = 'status' in tests ? tests : tests.find(({ term }) => term === 'group');
  const byPeriod = test !== undefined && !('status' in test) && !adjusted.groupsProportional, periods = byPeriod ? periodRatios(model, question) : null;
  const main: FittedRatio = { status: 'ok', ratio, periods };
  await quietly('', 0);
  const within = repeated(withinHospitals(asked), question, byPeriod);
  await quietly('', 0);
  const repeats = { withinHospitals: within, withoutLargestUser: repeated(withoutLargestUsers(asked), question, byPeriod) };
  const criteria = criteriaOf(main, repeats, byPeriod);
  return {
    question, unadjusted,
    adjusted: main,
    model: adjusted,
    proportionality: test ?? { status: 'notEstimable', reason: 'there is no ratio of the groups' },
    byPeriod, repeats, criteria,
    standing: standingOf(main, criteria),
  };
}

function without(question: Question, reason: string): AdjustedComparison {
  const none: NotEstimable = { status: 'notEstimable', reason };
  const repeats = { withinHospitals: none, withoutLargestUser: none };
  return {
    question, unadjusted: none, adjusted: none, model: null, proportionality: none, byPeriod: false, repeats,
    criteria: criteriaOf(none, repeats, false), standing: 'cannotSay',
  };
}

/** The same model over another part of the cohort or within strata; by period where that decides. */
function repeated(compared: CohortToModel | NotEstimable, question: Question, byPeriod: boolean): FittedRatio | NotEstimable {
  if ('reason' in compared) return compared;
  const fitted = askedModel(compared);
  if (fitted.status !== 'ok') return fitted;
  const model = merged(fitted.model), ratios = groupRatios(model, question);
  if (ratios.status !== 'ok') return ratios;
  return { status: 'ok', ratio: ratios.ratios[0]!, periods: byPeriod ? periodRatios(model, question) : null };
}

const lowerOf = ({ estimate }: HazardRatio): number => ('value' in estimate ? estimate.lower : NaN);
const reasonOf = ({ estimate }: HazardRatio): string => ('value' in estimate ? 'there are no limits' : estimate.reason);
const byStart = (periods: FittedRatio['periods']): readonly PeriodRatios[] => (periods === null || 'status' in periods ? [] : periods);

/** By period only those count in which the ratio of the whole cohort stands out. */
function criteriaOf(main: FittedRatio | NotEstimable, repeats: AdjustedComparison['repeats'], byPeriod: boolean): readonly AdjustedCriterion[] {
  const from = main.status !== 'ok' || !byPeriod ? [] : byStart(main.periods).filter(({ ratios: [first] }) => lowerOf(first!) > 1).map(({ fromDay }) => fromDay);
  const limit = (fitted: FittedRatio): number => {
    if (!byPeriod) return lowerOf(fitted.ratio);
    const lowers = byStart(fitted.periods).filter(({ fromDay }) => from.length === 0 || from.includes(fromDay)).map(({ ratios: [first] }) => lowerOf(first!));
    return Math.max(...lowers.filter((lower) => !Number.isNaN(lower)), ...(lowers.every(Number.isNaN) ? [NaN] : []));
  };
  const criterion = (name: AdjustedCriterion['name'], fitted: FittedRatio | NotEstimable): AdjustedCriterion => {
    if (fitted.status !== 'ok') return { name, status: 'notApplied', value: NaN, bound: 1, reason: fitted.reason };
    const value = limit(fitted);
    if (Number.isNaN(value)) return { name, status: 'notApplied', value, bound: 1, reason: reasonOf(fitted.ratio) };
    return { name, status: value > 1 ? 'met' : 'notMet', value, bound: 1, reason: null };
  };
  return [criterion('adjusted', main), criterion('withinHospitals', repeats.withinHospitals), criterion('withoutLargestUser', repeats.withoutLargestUser)];
}

function standingOf(main: FittedRatio, [adjusted, ...repeats]: readonly AdjustedCriterion[]): Standing {
  if (!('value' in main.ratio.estimate) || adjusted?.status === 'notApplied') return 'cannotSay';
  if (adjusted?.status === 'notMet') return 'notUpheld';
  return repeats.every(({ status }) => status === 'met') ? 'upheld' : 'hospitals';
}
