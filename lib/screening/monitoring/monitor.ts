import { attrition } from '../../analysis/attrition';
import { adjustable, withUnits } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { dateOf, dayOf } from '../../contract/calendarDay';
import { designClassCodes, labelOf } from '../../contract/codes';
import type { MonitoredUnit as Chosen, MonitoringQuestion } from '../../contract/monitoringQuestion';
import { componentLabel } from '../../cohort/labels';
import { designsQuery, monitoredConditions, monitoredFactor } from '../../cohort/monitored';
import type { LoadedExtract } from '../../engine/loadedExtract';
import type { NotEstimable } from '../../stats/cells';
import { calendarIncrements } from './calendarIncrements';
import { chartOf, looksAt, yearsOf } from './chart';
import { between, unhurried } from './limit';
import { chartMethods } from './methods';
import type { Monitoring, MonitoredReference, NotMonitored } from './monitoringResult';
import { lastDayOf, lookDays, periodOf } from './period';
import { populationOf, unitsOf } from './population';

/** Above this share of all procedures, a hospital or surgeon is left out of its own reference. Common practice, no source. */
export const largestOwnShare = 0.1;

/**
 * The chart of one hospital, surgeon (`unit`) or model (of the question), day by day of the calendar, against what is expected of others with the
 * same case mix. Throws the signal's reason when aborted.
 */
export async function monitor(extract: LoadedExtract, question: MonitoringQuestion, unit: Chosen | null, options: AnalysisOptions = {}): Promise<Monitoring | NotMonitored> {
  const { database, source } = extract, step = stepOf(options), lastDay = lastDayOf(question, source), isComponent = question.kind === 'component';
  const id = isComponent ? question.model : unit?.kind === question.kind ? unit.id : null;
  if (id === null) return { status: 'empty', reason: `No ${isComponent ? 'model' : question.kind} is chosen.`, attrition: [] };

  await step('Finding whom to compare with', 0);
  const designs = isComponent ? (await database.query(designsQuery(monitoredConditions(question, lastDay, undefined), question))).texts('design') : [];
  const everybody = monitoredConditions(question, lastDay, designs[0]), conditions = question.kind === 'component' ? everybody : await withUnits(database, everybody, question.kind), factor = monitoredFactor(question);
  const units = await unitsOf(database, conditions, factor), subject = units.find(({ key }) => key === id), steps = await attrition(database, conditions);
  if (subject === undefined) return { status: 'empty', reason: `No procedure of this ${isComponent ? 'model' : question.kind} meets these conditions.`, attrition: steps };
  const period = periodOf(question, source, subject.firstProcedure);
  if (period.firstDay >= lastDay) return { status: 'empty', reason: `The chart would begin on ${dateOf(period.firstDay)} and end on ${dateOf(lastDay)}.`, attrition: steps };

  await step('Counting follow-up', 0.05);
  const { adjust, notes: unadjusted } = await adjustable(database, conditions, question.adjust);
  const population = await populationOf(database, conditions, units, [subject], { ...question, adjust }, lastDay);
  const [own] = await population.followUp([subject]), ownShare = population.shareOf(subject), leftOut = isComponent || ownShare > largestOwnShare;
  await step('Fitting what is expected', 0.15);
  const known = population.reference(leftOut ? subject : null);
  const days = lastDay - period.firstDay + 1;
  const { observed, expected, incomparable } = known.status === 'ok'
    ? calendarIncrements(known.hazard, own!.cells, own!.design, own!.surgery, [period.firstDay, lastDay])
    : { observed: new Float64Array(days), expected: new Float64Array(days), incomparable: 0 };

  const label = isComponent ? `other models of the ${componentLabel(question.role)} ${designs[0] == null ? 'of which the design class is not recorded either' : `of the same design class (${labelOf(designClassCodes, designs[0])})`}`
    : leftOut ? `all other ${question.kind}s` : `all ${question.kind}s, this one among them`;
  const reference: MonitoredReference | NotEstimable = known.status !== 'ok' ? known : {
    status: 'ok',
    label, ownShare, leftOut, procedures: known.procedures, revisions: known.revisions, untilDay: known.untilDay, adjustedFor: population.adjustedFor,
  };
  const at = lookDays(period);
  const chart = known.status !== 'ok' ? known
    : own!.procedures === 0 ? notEstimable('none of its procedures has every covariate recorded')
    : incomparable === own!.procedures ? notEstimable('all its procedures are unlike any of those compared with')
    : await chartOf({ firstDay: period.firstDay, observed, expected }, at, question, (work) => between(work, unhurried(step), 'Simulating the limit', 0.2, 1));
  return {
    status: 'ok', question, source, period, reference, observed, expected, incomparable, chart,
    subject: { kind: question.kind, id },
    attrition: steps,
    procedures: own!.procedures, leftOut: own!.leftOut,
    looks: looksAt(at, { firstDay: period.firstDay, observed, expected }, chart),
    years: yearsOf({ firstDay: period.firstDay, observed, expected }),
    methods: chartMethods(question),
    notes: [
      ...unadjusted, ...population.notes,
      ...(designs.length > 1 ? [`The model is recorded with ${designs.length} design classes${designs.includes(null) ? ', not recorded being one of them' : ''}; the chart has its procedures with the commonest.`] : []),
      ...(known.status === 'ok' ? known.hazard.fit.notes : []),
      ...reviewNotes(question, period.firstDay, lastDay),
    ],
  };
}

const notEstimable = (reason: string): NotEstimable => ({ status: 'notEstimable', reason });

function reviewNotes({ restart, reviews }: MonitoringQuestion, firstDay: number, lastDay: number): readonly string[] {
  const outside = restart === 'afterReview' ? reviews.filter((date) => dayOf(date) <= firstDay || dayOf(date) > lastDay) : [];
  return outside.length === 0 ? [] : [`Reviews outside the days of the chart have no effect: ${outside.join(', ')}.`];
}
