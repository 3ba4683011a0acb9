import { attrition } from '../../analysis/attrition';
import { caseMix } from '../../analysis/caseMix';
import { outcomeGaps } from '../../analysis/cautions';
import { usersOfGroups } from '../../analysis/groupSummaries';
import { adjustable, withUnits } from '../../analysis/recordedOf';
import { stepOf, type AnalysisOptions } from '../../analysis/step';
import { procedureConditions, type Condition } from '../../cohort/conditions';
import { reasonGroupCoding } from '../../cohort/reasonGroups';
import type { Fragment } from '../../cohort/sql';
import { besidePeers, unitFactor } from '../../cohort/unit';
import type { ChosenUnit, UnitsQuestion } from '../../contract/unitsQuestion';
import type { LoadedExtract } from '../../engine/loadedExtract';
import { besidePeersCurves, bySide, sides } from './besidePeers';
import { adjustedCells, caseMixTerms } from './caseMixModel';
import { comparisonQuestion } from './comparisonQuestion';
import { yearsOfSurgery } from './drivers';
import { ownRows } from './ownRows';
import { choosePeers } from './peers';
import { qualityChecks } from './quality';
import { surgeonLines } from './surgeonLines';
import { unitBenchmark } from './unitBenchmark';
import { unitCells } from './unitCells';
import { countedCells, countsByUnit, ratioLine } from './unitCounts';
import { unitCuts } from './unitCuts';
import { revisionsByDay, unitDrivers } from './unitDrivers';
import { unitLines } from './unitLines';
import { unitMethods, unitNotes } from './unitMethods';
import { unitReference } from './unitReference';
import { unitSizes } from './unitSizes';
import type { NoUnits, UnitAnalysis } from './unitsResult';

/** A hospital or surgeon beside its peers, who alone are the reference. Throws the signal's reason when aborted. */
export async function oneUnit(
  { database, source }: LoadedExtract, question: UnitsQuestion, unit: ChosenUnit, options: AnalysisOptions = {},
): Promise<UnitAnalysis | NoUnits> {
  const step = stepOf(options), { kind, id } = unit, { confidence } = question;
  await step('Finding the peers', 0);
  const inCohort = await withUnits(database, procedureConditions(question.cohort, question.horizonYears), kind);
  const { adjust, notes: unadjusted } = await adjustable(database, inCohort, question.adjust), asked = comparisonQuestion({ ...question, adjust });
  const chosen = await choosePeers(database, inCohort, question, unit);
  if (chosen.status !== 'ok') return { status: 'empty', reason: chosen.reason, attrition: await attrition(database, inCohort) };
  const factor = besidePeers(kind, chosen.unit, chosen.peers);
  const conditions: readonly Condition[] = [...inCohort, { label: `Of the ${kind} or its peers`, sql: `${factor.code} IS NOT NULL`, params: [] }];
  const ofSide = (side: number): readonly Fragment[] => [...inCohort, { sql: `${factor.code} = ?`, params: [side] }];
  const steps = await attrition(database, conditions), [, users] = await usersOfGroups(database, conditions, factor, sides);

  await step('Counting follow-up', 0.1);
  const units = await unitSizes(database, conditions, kind), own = units.findIndex(({ key }) => key === id);
  const reduced = await unitCells(database, conditions, unitFactor(kind), units, asked, [reasonGroupCoding]), { complete, adjustments, leftOut } = reduced;
  const gaps = await outcomeGaps(database, conditions, asked);

  await step('Working out what is expected', 0.3);
  const terms = caseMixTerms(complete, adjustments), cells = adjustedCells(complete, adjustments, terms);
  const reference = unitReference(cells, (other) => other !== own, asked), { procedures, observed, untilDay } = reference;
  const counts = countsByUnit(cells, reference, units.length);
  const { lines, funnel } = unitLines(units.map(({ key, procedures: all }, u) => ratioLine(key, all, counts[u]!, confidence)), question), line = lines[own]!;

  await step('Drawing the curves', 0.5);
  const { survival, ...beside } = besidePeersCurves(reduced, own, asked);
  const mix = await caseMix(database, conditions, factor, sides, asked);

  await step('Looking for what drives the difference', 0.7);
  const cuts = unitCuts(kind, asked, await unitSizes(database, inCohort, 'surgeon'));
  const rows = await ownRows(database, ofSide(0), unitFactor(kind), units[own]!, terms, cuts.map(({ key }) => key), asked);
  const counted = countedCells(rows.complete, reference);
  const completePeers = [...ofSide(1), ...adjustments.map(({ coding }) => ({ sql: `(${coding.code}) IS NOT NULL`, params: [] }))];
  const drivers = counted.status === 'ok'
    ? await unitDrivers(database, counted, rows, reference, revisionsByDay(cells, reduced.further[0]!, own, untilDay), cuts, completePeers, terms, asked) : [];
  const surgeons = kind === 'hospital' ? await surgeonLines(database, ofSide(0), ofSide(1), terms, reference, asked, question) : [];

  await step('Checking the data', 0.9);
  const [all, recorded] = [reduced.all, complete].map((cohort) => sizesBySide(bySide(cohort, own))) as [readonly number[], readonly number[]];
  const [ownLeftOut, peersLeftOut] = all.map((n, side) => ({ count: n - recorded[side]!, of: n }));
  const expected = line.standardised.status === 'ok' ? line.standardised.expected : NaN;
  const quality = await qualityChecks(database, conditions, factor, {
    kind, closingDate: source.closingDate, leftOut: { own: ownLeftOut!, peers: peersLeftOut! }, expected,
  });
  const adjustedFor = adjustments.map(({ coding }) => coding.label);
  return {
    status: 'ok', question, unit, source, attrition: steps, adjustedFor, leftOut, reference: { procedures, observed, untilDay },
    peers: { label: chosen.label, hospitals: users!.hospitals, surgeons: users!.surgeons, procedures: users!.procedures },
    line, quality, caseMix: mix, ...beside, drivers,
    years: counted.status === 'ok' ? yearsOfSurgery(counted, rows.year, confidence) : [],
    benchmark: question.benchmark === null ? null : unitBenchmark(survival[0]!, rows, question.benchmark, asked),
    surgeons,
    methods: unitMethods(question, adjustedFor, `The ${kind} is held against its peers (${chosen.label}), of which it is not one.`),
    notes: [...unadjusted, ...unitNotes(reference, funnel), ...gaps],
  };
}

function sizesBySide({ cells: { count }, group }: { readonly cells: { readonly count: Float64Array }; readonly group: Int32Array }): readonly number[] {
  const sizes = [0, 0];
  group.forEach((side, i) => { sizes[side]! += count[i]!; });
  return sizes;
}
