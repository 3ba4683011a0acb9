import { attrition } from '../../analysis/attrition';
import { adjustable, noUnitReason, withUnits } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions, type Step } from '../../analysis/step';
import { dateOf } from '../../contract/calendarDay';
import type { MonitoringQuestion } from '../../contract/monitoringQuestion';
import type { Condition } from '../../cohort/conditions';
import { componentLabel } from '../../cohort/labels';
import { designsQuery, monitoredConditions, monitoredFactor } from '../../cohort/monitored';
import type { LoadedExtract, Source } from '../../engine/loadedExtract';
import { calendarIncrements } from './calendarIncrements';
import { cusum } from './cusum';
import { between, limitInPieces, unhurried } from './limit';
import { chartMethods } from './methods';
import { largestOwnShare } from './monitor';
import type { MonitoredLine, MonitoringOverview, NotMonitored } from './monitoringResult';
import { lastDayOf, periodOf } from './period';
import { populationOf, unitsOf, type MonitoredUnit, type OwnFollowUp, type Population } from './population';
import { hazardWeights } from './weights';

const batch = 200_000; // procedures that are taken out of the database at a time

/**
 * The charts of all hospitals, of all surgeons, or of all models of a role, each against its own reference and with a limit that is found by the
 * same rule as that of a single chart. They start again after each signal. Throws the signal's reason when aborted.
 */
export async function monitorAll({ database, source }: LoadedExtract, asked: MonitoringQuestion, options: AnalysisOptions = {}): Promise<MonitoringOverview | NotMonitored> {
  const question: MonitoringQuestion = { ...asked, model: null, restart: 'afterSignal', reviews: [] };
  const step = unhurried(stepOf(options)), lastDay = lastDayOf(question, source), allDesigns = monitoredConditions(question, lastDay, undefined);
  await step('Finding whose charts there are', 0);
  const everybody = question.kind === 'component' ? allDesigns : await withUnits(database, allDesigns, question.kind);
  const { adjust, notes: unadjusted } = await adjustable(database, everybody, question.adjust);
  const steps = await attrition(database, everybody);
  const designs = question.kind === 'component' ? (await database.query(designsQuery(everybody, question))).texts('design') : [undefined];
  const lines: MonitoredLine[] = [], populations: Population[] = [], all = steps.at(-1)!.remaining;
  if (all === 0) return { status: 'empty', reason: emptyReason(question, everybody), attrition: steps };
  let done = 0; // procedures
  for (const design of designs) {
    const conditions = question.kind === 'component' ? monitoredConditions(question, lastDay, design) : everybody, units = await unitsOf(database, conditions, monitoredFactor(question));
    const population = await populationOf(database, conditions, units, question.kind === 'component' ? units : [], { ...question, adjust }, lastDay);
    populations.push(population);
    for (const some of inBatches(units)) {
      const followUps = await population.followUp(some);
      for (const [i, unit] of some.entries()) {
        lines.push(await lineOf(unit, followUps[i]!, design ?? null, population, question, source, step, [done / all, (done += unit.procedures) / all]));
      }
    }
  }
  return {
    status: 'ok', question, source, lastDay,
    attrition: steps,
    lines: lines.sort((a, b) => b.expected - a.expected || (a.id < b.id ? -1 : 1)),
    adjustedFor: [...new Set(populations.flatMap((p) => p.adjustedFor))],
    leftOut: adjust.length === 0 ? [] : mergedCounts(populations.flatMap((p) => p.leftOut)),
    methods: chartMethods(question),
    notes: [...unadjusted, ...new Set(populations.flatMap((p) => p.notes))],
  };
}

const emptyReason = ({ kind, role }: MonitoringQuestion, conditions: readonly Condition[]): string => (kind === 'component'
  ? `No procedure of the extract that meets these conditions has a ${componentLabel(role)} of which the model is recorded.` : noUnitReason(kind, conditions));

async function lineOf(
  unit: MonitoredUnit, own: OwnFollowUp, design: string | null, population: Population, question: MonitoringQuestion, source: Source, step: Step, [from, to]: readonly [number, number],
): Promise<MonitoredLine> {
  await step('Simulating the limits', from);
  const { firstDay, lastDay } = periodOf(question, source, unit.firstProcedure);
  const without = (reason: string): MonitoredLine => ({
    id: unit.key, design, procedures: own.procedures, observed: 0, expected: 0, limit: { status: 'notEstimable', reason }, byChance: NaN, signals: [], value: NaN,
  });
  if (firstDay >= lastDay) return without(`the chart would begin on ${dateOf(firstDay)}`);
  if (own.procedures === 0) return without('none of its procedures has every covariate recorded');
  const known = population.reference(question.kind === 'component' || population.shareOf(unit) > largestOwnShare ? unit : null);
  if (known.status !== 'ok') return without(known.reason);
  const { observed, expected, incomparable } = calendarIncrements(known.hazard, own.cells, own.design, own.surgery, [firstDay, lastDay]);
  if (incomparable === own.procedures) return without('all its procedures are unlike any of those compared with');
  const total = { ...without(''), observed: sum(observed), expected: sum(expected) };
  const found = await between(limitInPieces(expected, question), step, 'Simulating the limits', from, to);
  if ('status' in found) return { ...total, limit: found };
  const { value, signals } = cusum(hazardWeights(observed, expected, question.ratio), found.limit.threshold, 'afterSignal');
  return { ...total, limit: found.limit, byChance: found.byChance, signals: signals.map((t) => firstDay + t), value: value.at(-1)! };
}

function* inBatches(units: readonly MonitoredUnit[]): Generator<readonly MonitoredUnit[]> {
  let some: MonitoredUnit[] = [], size = 0;
  for (const unit of units) {
    if (some.length > 0 && size + unit.procedures > batch) {
      yield some;
      [some, size] = [[], 0];
    }
    some.push(unit);
    size += unit.procedures;
  }
  if (some.length > 0) yield some;
}

function mergedCounts(counts: readonly { readonly covariate: string; readonly missing: number }[]): MonitoringOverview['leftOut'] {
  const sums = new Map<string, number>();
  for (const { covariate, missing } of counts) sums.set(covariate, (sums.get(covariate) ?? 0) + missing);
  return [...sums].map(([covariate, missing]) => ({ covariate, missing }));
}

const sum = (values: Float64Array): number => values.reduce((total, v) => total + v, 0);

