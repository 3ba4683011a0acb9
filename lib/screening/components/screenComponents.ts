import { stepOf, type AnalysisOptions, type Step } from '../../analysis/step';
import { alpha, power } from '../../analysis/chapters/detectable';
import { rolesOf } from '../../contract/editQuestion';
import type { Comparator, ScreeningQuestion } from '../../contract/screeningQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { detectableHazardRatio } from '../../stats/precision/eventsNeeded';
import { adjustedComparison } from './adjustedComparison';
import { componentCounts, type CountedComponent } from './componentCounts';
import { componentScreening, type ComponentScreening } from './componentScreening';
import { settingsOf } from './componentQuestion';
import { methodsOf, notesOf } from './screeningMethods';
import type { ComponentsAnalysis, NoComponents, ScreenedModel } from './screeningResult';

/** The first stage: every model against all others of its kind, nothing adjusted for. */
export interface RatesScreened extends Omit<ComponentScreening, 'components'> {
  readonly models: readonly ScreenedModel[];
  /** Procedures with a component of a role, by its label, of which the model or its kind is not recorded. */
  readonly notScreened: readonly { readonly label: string; readonly procedures: number }[];
}

const noneReason: Readonly<Record<Comparator, string>> = {
  role: 'No procedure of the extract that meets these conditions has a component of which the model is recorded.',
  design: 'No procedure of the extract that meets these conditions has a component of which both model and design class are recorded. Models can be held against all others of the same component instead.',
  roleAndClass: 'No procedure of the extract that meets these conditions has a component of which the model is recorded, and a class. Models can be held against all others of the same component instead.',
};

/** The rates last screened of each extract: what is explained of a model starts from them. */
const lastScreened = new WeakMap<LoadedExtract, { readonly question: string; readonly rates: RatesScreened }>();

const screenedRoles = ({ cohort: { joint }, roles }: ScreeningQuestion) => rolesOf(joint).filter(({ code }) => roles.length === 0 || roles.includes(code));

export async function screenRates(extract: LoadedExtract, question: ScreeningQuestion, step: Step): Promise<RatesScreened> {
  const key = JSON.stringify(question), last = lastScreened.get(extract);
  if (last?.question === key) return last.rates;
  const roles = screenedRoles(question), counted: CountedComponent[] = [], notScreened: RatesScreened['notScreened'][number][] = [];
  for (const [i, { code, label }] of roles.entries()) {
    await step(`Counting: ${label}`, (0.5 * i) / roles.length);
    const ofRole = await componentCounts(extract.database, question, code);
    counted.push(...ofRole.components);
    if (ofRole.notScreened > 0) notScreened.push({ label, procedures: ofRole.notScreened });
  }
  await step('Holding each model against the others of its kind', 0.5);
  const { components, ...screening } = componentScreening(counted, settingsOf(question));
  const rates = { ...screening, notScreened, models: components.map((screened, c) => withCounts(screened, counted, counted[c]!)) };
  lastScreened.set(extract, { question: key, rates });
  return rates;
}

/**
 * Screens every model of the roles in stages: its rate of revision against all others of its kind with error controlled over all that are
 * assessed, then, for those flagged or carried forward, an adjusted hazard ratio. Throws the signal's reason when aborted.
 */
export async function screenComponents(extract: LoadedExtract, question: ScreeningQuestion, options: AnalysisOptions = {}): Promise<ComponentsAnalysis | NoComponents> {
  const step = stepOf(options);
  const { models, notScreened, ...screening } = await screenRates(extract, question, step);
  if (models.length === 0) return { status: 'empty', reason: noneReason[question.comparator] };
  const further = models.flatMap((model, place) => (model.status === 'flagged' || model.flaggedAtLooks.length > 0 ? [{ model, place }] : []));
  const adjusted: ComponentsAnalysis['adjusted'][number][] = [];
  for (const [i, { model, place }] of further.entries()) {
    await step(`Adjusting: ${model.model}`, 0.55 + (0.45 * i) / further.length);
    if (model.othersProcedures > 0) adjusted.push({ place, comparison: await adjustedComparison(extract, question, model, step) });
  }
  return {
    status: 'ok', question, source: extract.source, models, ...screening, adjusted,
    gone: question.earlier.filter(({ model }) => !models.some((screened) => screened.model === model)),
    methods: methodsOf(question),
    notes: [...notesOf(question, models), ...notScreenedNotes(notScreened, question)],
  };
}

const notScreenedNotes = (roles: RatesScreened['notScreened'], { comparator }: ScreeningQuestion): readonly string[] => roles.map(({ label, procedures }) =>
  `${label}: ${procedures.toLocaleString('en')} procedures are not screened, as ${comparator === 'role' ? 'the model is' : `the model or ${comparator === 'design' ? 'its design class' : 'the class of procedure'} is`} not recorded.`);

function withCounts(screened: ComponentScreening['components'][number], all: readonly CountedComponent[], counted: CountedComponent): ScreenedModel {
  const { role, model, design, class: ofClass, componentYears, per100 } = counted, others = all.filter((c) => c !== counted && c.kind === counted.kind && c.apart !== true);
  return {
    ...screened, role, model, design, class: ofClass, componentYears, per100,
    inComparator: counted.apart !== true,
    othersProcedures: others.reduce((sum, { procedures }) => sum + procedures, 0),
    detectable: detectableOf(screened),
  };
}

/** The ratio that would be seen, from the revisions of both were the model revised as the others are. */
function detectableOf({ exposure, others }: Pick<ScreenedModel, 'exposure' | 'others'>): ScreenedModel['detectable'] {
  const own = others.exposure > 0 ? (exposure * others.observed) / others.exposure : 0, all = own + others.observed;
  return own > 0 ? detectableHazardRatio(all, own / all, { power, alpha }) : { status: 'notEstimable', reason: 'no revisions to expect' };
}
