import { attrition } from '../../analysis/attrition';
import { caseMix } from '../../analysis/caseMix';
import { outcomeGaps } from '../../analysis/cautions';
import { chooseGroups } from '../../analysis/groups';
import { usersOfGroups } from '../../analysis/groupSummaries';
import { adjustable } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { comparedConditions, comparisonFactor } from '../../cohort/comparison';
import { cohortConditions } from '../../cohort/conditions';
import { reasonGroupCoding } from '../../cohort/reasonGroups';
import type { ChosenComponent, ScreeningQuestion } from '../../contract/screeningQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { adjustedCells, caseMixTerms } from '../units/caseMixModel';
import { ownRows } from '../units/ownRows';
import { unitCells } from '../units/unitCells';
import { countedCells, countsByPart } from '../units/unitCounts';
import { revisionsByDay, unitDrivers } from '../units/unitDrivers';
import { unitReference } from '../units/unitReference';
import type { Driver } from '../units/unitsResult';
import { adjustedComparison } from './adjustedComparison';
import { componentCuts, partnerCut, partnerRoles } from './componentCuts';
import { componentQuestion } from './componentQuestion';
import { concentrationOf, partOf } from './concentration';
import { explainedMethods, explainedNotes } from './explainedMethods';
import type { ComponentExplained, NotExplained, Partners } from './explainedResult';
import { screenRates } from './screenComponents';

const units = ['hospital', 'surgeon'] as const;

const notRecordedNotes = (recorded: readonly string[]): readonly string[] => units.filter((unit) => !recorded.includes(unit))
  .map((unit) => `No ${unit} is recorded: whether the result hangs on the ${unit} that used the model most can’t be said.`);

/**
 * What may lie behind a model's rate, before it is the model: its users, periods, partners, reasons and case mix. What is expected is the hazard
 * of all others of its kind, adjusted as the question says. Throws the signal's reason when aborted.
 */
export async function explainComponent(extract: LoadedExtract, question: ScreeningQuestion, chosen: ChosenComponent, options: AnalysisOptions = {}): Promise<ComponentExplained | NotExplained> {
  const step = stepOf(options), { database, source } = extract, { models } = await screenRates(extract, question, step);
  const component = models.find(({ model, class: ofClass }) => model === chosen.model && (chosen.class === null || ofClass === chosen.class));
  if (component === undefined) return { status: 'empty', reason: `No procedure that is screened has the model ${chosen.model}.` };
  if (component.othersProcedures === 0) return { status: 'empty', reason: `${chosen.model} has no others of its kind to be held against. A wider comparator may have some.` };
  const wanted = componentQuestion(question, component), { adjust, notes: unadjusted } = await adjustable(database, cohortConditions(wanted.cohort, wanted.horizonYears), wanted.adjust);
  const asked = { ...wanted, adjust }, unclustered = { ...asked, cluster: 'none' as const }, { confidence } = asked;
  const factor = comparisonFactor(asked), inCohort = cohortConditions(asked.cohort, asked.horizonYears), { groups } = await chooseGroups(database, inCohort, factor, asked);
  const conditions = [...inCohort, ...comparedConditions(factor, groups)], [own, others] = groups;
  if (own === undefined || others === undefined) return { status: 'empty', reason: `${chosen.model} has no others of its kind to be held against.` };

  const comparison = await adjustedComparison(extract, question, component, step);
  await step('Counting follow-up', 0.4);
  const reduced = await unitCells(database, conditions, factor, groups, unclustered, [reasonGroupCoding]), { complete, adjustments, leftOut } = reduced;
  const terms = caseMixTerms(complete, adjustments), cells = adjustedCells(complete, adjustments, terms);
  const reference = unitReference(cells, (group) => group !== 0, unclustered), { hazard, procedures, observed, untilDay, notes } = reference;
  if (hazard.status !== 'ok') return { status: 'empty', reason: `What is to be expected of ${chosen.model} cannot be said: ${hazard.reason}.` };

  await step('Looking at users, periods, partners and reasons', 0.6);
  const cuts = componentCuts(asked), roles = partnerRoles(asked), partnerCuts = roles.map((role) => partnerCut(asked, role)), all = [...cuts, ...partnerCuts];
  const ofGroup = (code: number) => [...inCohort, { sql: `${factor.code} = ?`, params: [code] }];
  const rows = await ownRows(database, ofGroup(own.code), factor, own, terms, all.map(({ key }) => key), unclustered), counted = countedCells(rows.complete, reference);
  if (counted.status !== 'ok') return { status: 'empty', reason: `What is to be expected of ${chosen.model} cannot be said: ${counted.reason}.` };
  const completeOthers = [...ofGroup(others.code), ...adjustments.map(({ coding }) => ({ sql: `(${coding.code}) IS NOT NULL`, params: [] }))];
  const [byReason, ...byCut] = await unitDrivers(database, counted, rows, reference, revisionsByDay(cells, reduced.further[0]!, 0, untilDay), all, completeOthers, terms, unclustered);
  const partners = roles.flatMap((role, r): readonly Partners[] => {
    const driver = byCut[cuts.length + r]!, flagged = models.filter((m) => m.role === role && m.status === 'flagged').map(({ model }) => model);
    return driver.levels.every(({ key }) => key === 'none') ? [] : [{ role, driver, flagged: [...new Set(flagged)] }];
  });
  const drivers: readonly Driver[] = [{ ...byReason!, note: 'Every procedure is at risk of every reason.' }, ...byCut.slice(0, cuts.length)], of = (name: Driver['name']) => drivers.find((driver) => driver.name === name)!;

  await step('Setting the case mix side by side', 0.9);
  const users = await usersOfGroups(database, conditions, factor, groups), recorded = units.filter((unit) => (users[0]?.[`${unit}s`] ?? 0) > 0), adjustedFor = adjustments.map(({ coding }) => coding.label);
  return {
    status: 'ok', question, component, comparison, source, groups, users,
    attrition: await attrition(database, conditions),
    whole: partOf('all', 'All its procedures', countsByPart(counted, new Int32Array(rows.reason.length), 1)[0]!, confidence),
    reference: { procedures, observed, untilDay }, adjustedFor, leftOut,
    concentration: recorded.map((unit) => concentrationOf(unit, of(unit), users, confidence)),
    drivers, partners,
    caseMix: await caseMix(database, conditions, factor, groups, asked),
    methods: explainedMethods(adjustedFor, confidence),
    notes: [...unadjusted, ...notRecordedNotes(recorded), ...notes, ...explainedNotes(partners), ...await outcomeGaps(database, conditions, asked)],
  };
}
